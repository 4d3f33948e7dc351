"""What is shown, in words: one place for each subject."""
