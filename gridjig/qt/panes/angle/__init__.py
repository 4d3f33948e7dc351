"""The angle pane: the question, its answers, two holes, and what an arm reaches."""
