"""The form of the rack."""
