"""The form for one piece of the rack."""
