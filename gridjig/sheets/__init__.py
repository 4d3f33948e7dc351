"""Drawings and lists composed from the job as plain values.  Knows no painter and no window."""
