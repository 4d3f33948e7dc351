"""Checks of a whole job: whether it clashes, is held, and is on the rack."""
