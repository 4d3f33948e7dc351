"""The panes round the sheet: each shows a document and asks the window for the rest."""
