"""Chips, forces, and how far the cutter bends."""
