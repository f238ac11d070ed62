"""The page tally."""
