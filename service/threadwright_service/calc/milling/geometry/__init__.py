"""What a cutter of a given shape leaves in the part."""
