"""Changes of the tables, forward only; a landed one is never edited."""
