"""The pages: parse, call down, show."""
