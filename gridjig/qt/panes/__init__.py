"""The panes round the sheet: each shows a desk and asks the window for what it cannot do itself."""
