"""Whether the pieces locate every part and every weldment, in the order in which they are loaded.

| module | what it answers |
| --- | --- |
| `values` | `Located`, `Motion`, `LocatedReport`: plain values |
| `report` | `located(job, placed_pieces, contacts)` |
| `findings` | `located_findings(job, report, contacts)`: what to say about it |

numpy is loaded with `report`.
"""
