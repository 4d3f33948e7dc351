"""The sheet on the screen: the table, what lies on it, and the gestures made there."""
