"""The page search."""
