"""Lists to print and export: pull list, cut list, angle chart, the rack's drawer."""
