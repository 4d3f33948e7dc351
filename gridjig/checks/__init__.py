"""Checks of a whole job: for clashes, for what is not held, and for what the rack lacks."""
