"""Beside the log: the next cut by the height of the face."""
