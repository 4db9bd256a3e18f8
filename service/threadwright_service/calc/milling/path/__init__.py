"""Where the cutter's centre goes, and what that leaves on the part."""
