"""Whether the jig holds the work where the drawing says, lets the torch in, and lets it out again.

Each room answers one question as frozen values with figures, from a job, its placed pieces and its
contacts; `report` puts the answers together as findings.
"""
