"""The window: the only package that knows Qt.  It shows the desk and hands events to tools."""
