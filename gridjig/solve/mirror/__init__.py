"""The opposite hand of a piece and of a weldment."""
