"""The weldment pane: cuts, joints, datum faces, place on the table, way up."""
