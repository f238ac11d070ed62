"""What a person writes about mill, aims, rates, boards and stems, and what it makes."""
