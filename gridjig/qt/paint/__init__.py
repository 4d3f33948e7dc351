"""Display lists on a painter: the screen, a picture or a page."""
