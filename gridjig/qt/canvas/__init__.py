"""The plan on the screen: the table, the things on it, and the gestures made there."""
