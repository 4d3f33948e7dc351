"""The weldment pane: cut list, joints, datum faces, place on the table, way up."""
