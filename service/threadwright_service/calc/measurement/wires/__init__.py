"""Measurement over wires and pins, and between balls."""
