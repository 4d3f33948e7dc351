"""How near two parts must be to meet: the limits of gaps, overlaps and angles, mm."""

import math

GAP = 3.2
"""Root gap in mm up to which two faces still meet: the usual 1/8 inch.  Common practice."""

DEEP = 0.05
"""How far, in mm, outlines may overlap and still only touch: half of the last digit shown."""

LEAST = 1.0
"""The shortest contact in mm that is a seam; below it, two corners meet."""

FACING = math.cos(math.radians(2.0))
"""Edges face each other if they are at most 2 degrees out of parallel."""
