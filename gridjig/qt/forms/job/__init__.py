"""The start page and the form for a new job."""
