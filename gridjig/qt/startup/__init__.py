"""Starts the program, and shows the bare table at once."""
