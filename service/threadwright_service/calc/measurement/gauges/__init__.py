"""GO and NOT GO gauges."""
