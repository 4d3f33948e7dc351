"""The angle pane: the question, its answers, the angle of two holes, and an arm's reach."""
