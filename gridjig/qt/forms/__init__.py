"""Forms and pages: questions, settings, start page, help.  Each returns what was chosen."""
