"""Job and rack files, and the autosaved copies of jobs."""
