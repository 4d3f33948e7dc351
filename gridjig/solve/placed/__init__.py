"""A placed piece as it is on the table: its pose, solids, faces, rests and clamp tip."""
