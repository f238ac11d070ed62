"""The log before the saw: its shape, how it lies, its volume and its weight."""
