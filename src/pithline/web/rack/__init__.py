"""The page rack."""
