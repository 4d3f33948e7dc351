"""What lies under the pointer, what it snaps to, and what is drawn there."""
