"""What several tests need: one good request for each operation, and how to send it."""
