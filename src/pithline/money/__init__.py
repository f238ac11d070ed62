"""What a log, a slab and a month of waiting cost, and what may be asked: numbers in, numbers out."""
