"""The selection, and all that is done to it by pointer, key and typed text."""
