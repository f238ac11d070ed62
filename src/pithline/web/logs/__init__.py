"""The page logs."""
