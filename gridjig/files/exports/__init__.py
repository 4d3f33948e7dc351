"""Drawings at true size, written as files that other programs read."""
