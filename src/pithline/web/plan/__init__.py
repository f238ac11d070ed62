"""The page plan."""
