"""The poses a piece can take about a hole, and the one that a click, a number or a drag chooses."""
