"""The repeat order: an old job on the table and with the rack of today, or on another table."""
