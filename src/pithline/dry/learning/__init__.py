"""Meters, weights and boards: what a reading says, and what it teaches the forecast."""
