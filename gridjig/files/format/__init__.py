"""Bytes to typed values and back, and the fault in words if that fails."""
