"""The panes around the sheet: each shows a document, and leaves the rest to the window."""
