"""The weldment by itself: its faces, joints, welds and datum faces."""
