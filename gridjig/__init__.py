"""GridJig plans a jig on a hole-grid table before anyone walks to the rack."""

__version__ = "0.1.0"
