"""DXF drawings read into closed outlines, and made into parts of the weldment."""
