"""Proof of a set-up: whether the work is located, held, exact enough, reachable, and comes out."""
