"""The book: logs, plans and slabs, where they lie, and what was done when."""
