"""Setting a piece so that it touches the work: at a hole, where it stands, and as it is moved.

`door` is what the tools call; it loads the rest with the first question, for that needs numpy.
"""
