"""Tools of the canvas: pointer and keys in, a value out.  They know no window and no painter."""
