"""A log on offer: what it yields and costs, and whether it is worth it."""
