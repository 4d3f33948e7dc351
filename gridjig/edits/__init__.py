"""Edits: pure functions from a job to a job.

Each keeps the job consistent (unique ids, known pieces) and returns the same object if nothing
changes.  Whether a piece can be where an edit puts it is for the checks to decide.
"""
