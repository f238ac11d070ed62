"""The page settings."""
