"""How slabs dry: climate, diffusion, stack, kiln, readings, shrinkage. Pure numbers in SI."""
