"""Lists beside the sheet: the rack's drawer, the placed pieces, the findings, the pull list."""
