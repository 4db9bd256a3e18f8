"""Screw threads: call-outs, forms, basic dimensions and limits of size, one module a standard."""
