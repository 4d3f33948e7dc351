"""The forms of what is selected."""
