"""The form for the rack."""
