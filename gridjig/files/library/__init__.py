"""What a job can start from: assets, the user's own tables and racks, stock sections."""
