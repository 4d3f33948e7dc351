"""The form of the standard weldments."""
