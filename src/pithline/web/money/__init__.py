"""Money: is a log worth it, what things cost, what a slab may be asked, what is for sale and was sold."""
