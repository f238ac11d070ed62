"""What an hour, a log, a slab and a month cost."""
