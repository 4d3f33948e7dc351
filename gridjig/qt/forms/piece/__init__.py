"""The form of one piece of the rack."""
