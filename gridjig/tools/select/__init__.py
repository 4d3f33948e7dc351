"""The selection, and everything done to it by pointer, key and typed text."""
