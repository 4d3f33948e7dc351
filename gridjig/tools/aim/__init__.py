"""What lies below the pointer, where it snaps, and what is shown there."""
