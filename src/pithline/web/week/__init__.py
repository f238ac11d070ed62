"""The page week."""
