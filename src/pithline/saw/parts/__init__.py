"""Logs too wide for the bar: halved, quartered, or trimmed at the sides."""
