"""What comes back: one frozen dataclass for each operation, in modules by chapter."""
