"""The same book for programs: JSON in, JSON out, by the same entry kinds as the pages."""
