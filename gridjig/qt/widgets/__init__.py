"""Widgets that forms, panes and strips are built from.  They know nothing about jobs."""
