"""Lists beside the sheet: the rack's drawer, what is placed, findings, the pull list."""
