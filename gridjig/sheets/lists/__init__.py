"""Lists to print and export: pull list, cut list, angle chart, rack list."""
