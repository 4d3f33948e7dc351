"""Where the weldment lies on the table: what the grid leaves, better places, which way up."""
