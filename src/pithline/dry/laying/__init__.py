"""How slabs lie in stacks and kilns: outlines, stickers, layers, charges."""
