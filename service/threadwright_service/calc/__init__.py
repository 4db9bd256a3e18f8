"""The calculations: pure Python, no HTTP, no clock, no environment.

Functions take keyword arguments and return frozen dataclasses; what they refuse is a
:class:`~threadwright_service.calc.errors.CalcError`. A function that shows its working,
assumes or cautions takes a :class:`~threadwright_service.calc.trail.Trail`.
"""
