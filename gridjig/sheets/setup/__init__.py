"""The setup sheet: everything that somebody needs to build the set-up from paper."""
