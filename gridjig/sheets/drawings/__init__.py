"""Drawings as display lists."""
