"""Tools of the canvas: pointer and keys in, a value out.  Knows no window and no painter."""
