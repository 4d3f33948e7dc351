"""The dialog that all forms are, help, and the questions about files."""
