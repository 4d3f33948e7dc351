"""The form of the table."""
