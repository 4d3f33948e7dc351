"""Tools that pick holes and edges on the table."""
