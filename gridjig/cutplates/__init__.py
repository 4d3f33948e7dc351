"""One-off plates cut for a job: their shape, their engraving, and the pieces that they become."""
