"""Pithline: from a measured log to slabs, for one person with a chainsaw mill."""

__version__ = "0.1.0"
