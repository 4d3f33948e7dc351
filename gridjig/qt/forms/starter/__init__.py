"""The form for the standard weldments."""
