"""Jobs, racks and the program's own notes on disk: read strictly, written safely.  Knows no Qt."""
