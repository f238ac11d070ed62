"""Words and figures for templates."""
