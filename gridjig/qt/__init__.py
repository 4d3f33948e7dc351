"""The window: the only package that uses Qt.  It shows the document and hands events to tools."""
