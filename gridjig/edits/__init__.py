"""Edits: pure functions from a job to a job.

Each keeps the job whole (single ids, known pieces) and gives the very same job back if nothing
changes.  Whether a piece can stand where an edit puts it is for the checks to say, not for these.
"""
