"""The forms for what is selected."""
