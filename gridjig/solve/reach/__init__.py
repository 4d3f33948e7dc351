"""The angles an arm can be set to about a hole, and where on a table it gives a wanted face."""
