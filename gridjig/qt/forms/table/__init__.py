"""The form for the table."""
