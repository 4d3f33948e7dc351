"""Lists beside the plan: the rack's drawer, the placed pieces, the findings, the pull list."""
