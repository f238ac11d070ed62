"""What the wood is: species, density, shrinkage, moisture. Pure numbers in SI."""
