"""How long to hold a slab: buyers, posted prices, deadlines, offers."""
