"""What a kiln can do, published schedules within its reach, and a whole run."""
