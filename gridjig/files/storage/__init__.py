"""Files on disk: where they are, saved safely, locked, with the program's own notes."""
