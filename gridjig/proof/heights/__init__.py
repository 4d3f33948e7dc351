"""How the work stands at its heights: risers, corner radii, what falls, what one cannot lift.

| module | what it answers |
| --- | --- |
| `values` | `HeightsReport` and what is in it: plain values |
| `stacks` | which stacks of risers raise which parts, of what the rack has left |
| `standing` | how far a part tips before it falls, and what it is carried by |
| `report` | `heights(job, contacts)` |
| `findings` | `heights_findings(job, report)`: what to say about it |
"""
