"""A slab's two faces, and how the trade counts them."""
