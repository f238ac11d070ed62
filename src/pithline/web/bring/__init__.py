"""The page that brings tables in: columns mapped, everything shown before it happens."""
