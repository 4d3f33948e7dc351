"""Starting the program, and the bare table that it shows at once."""
