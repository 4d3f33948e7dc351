"""The start page and the form of a new job."""
