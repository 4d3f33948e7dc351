"""Which poses a piece can take about a hole, and which one a click, a number or a drag takes."""
