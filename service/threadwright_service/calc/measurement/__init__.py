"""Proof that a part is right: wires, gauges, functional size, coating, correction, hardness, holes."""
