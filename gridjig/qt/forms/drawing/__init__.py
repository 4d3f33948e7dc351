"""The form that brings a drawing in."""
