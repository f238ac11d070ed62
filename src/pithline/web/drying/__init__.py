"""The page drying."""
