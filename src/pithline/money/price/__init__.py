"""What slabs are sold for: known sales, the fit, and an asking price."""
