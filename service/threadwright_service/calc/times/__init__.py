"""Motion time, operations of a part, lot time, cost, comparisons."""
