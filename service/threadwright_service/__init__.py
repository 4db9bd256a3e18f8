"""Threadwright, the service: thread limits, pass plans, cutting data and times over HTTP."""
