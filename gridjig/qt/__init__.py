"""The window: the only package that knows Qt.  It shows the document and hands events to tools."""
