"""The panes around the plan: each shows a document, and leaves the rest to the window."""
