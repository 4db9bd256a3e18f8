"""Materials and cutting data: starting values, scaling, forces, tool life."""
