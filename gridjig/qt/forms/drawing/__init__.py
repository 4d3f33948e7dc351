"""The form that imports a drawing."""
