"""Rough use: trailers drawn at random, broken files, power cuts, full and forbidden disks. Few in CI, many by command."""
