"""Proof that a part is right: wires, gauges, coating, correction, hardness, holes."""
