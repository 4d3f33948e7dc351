"""Setting a piece so that it touches the work: in a hole, where it stands, as it is moved.

Tools call only `door`, which loads the rest on first use, as that needs numpy.
"""
