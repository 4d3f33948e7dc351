"""Colours, fonts, sizes and icons."""
