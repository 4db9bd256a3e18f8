"""Thread milling: depth, helix over-cut, load of each pass, infeed, path, the fastest plan."""
