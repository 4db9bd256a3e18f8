"""Mechanics of each operation: chip, force and feed at one feed of a tooth."""
