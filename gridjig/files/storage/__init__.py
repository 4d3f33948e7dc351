"""Files on disk: where they are, safe saving, locks, and the program's own records."""
