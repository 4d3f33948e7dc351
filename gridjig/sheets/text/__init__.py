"""The words for what is shown: one module per subject."""
