"""The page measure."""
