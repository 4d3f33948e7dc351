"""Bytes to typed values and back, and the fault in words where that fails."""
