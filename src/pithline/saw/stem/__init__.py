"""Stems too long for the rail: where to cut them across."""
