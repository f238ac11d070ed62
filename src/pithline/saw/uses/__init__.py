"""What slabs are for: uses, orders and pairs, counted in the states of the chain."""
