"""Whether a torch gets to each side of each joint, and what stands too near to a weld.

| module | what it answers |
| --- | --- |
| `values` | `AccessReport` and what is in it: plain values |
| `seats` | where the torch stands at each side of a seam |
| `cone` | how much room there is for a cone among prisms |
| `report` | `access(job, placed_pieces)`; `Access().of(...)` keeps what an edit leaves |
| `findings` | `access_findings(job, report)`: what to say about it |
"""
