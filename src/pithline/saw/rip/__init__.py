"""Slabs ripped into square-edged boards and heart pieces."""
