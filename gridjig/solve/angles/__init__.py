"""Which holes, pins, shims and arms give a wanted angle, best first."""
