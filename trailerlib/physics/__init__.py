"""How the world behaves: numbers and arrays in, numbers and arrays out, in SI units, no design and no table."""
