"""The command line: parse, call down, show."""
