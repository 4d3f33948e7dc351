"""Stops and the shims that pack them out."""
