"""The base class of all forms, the help, and the questions about files."""
