"""Whether the clamps hold every part and every weldment against its locators.

| module | what it answers |
| --- | --- |
| `values` | `Held`, `Reaction`, `Clamping`, `HeldReport`: plain values |
| `report` | `held(job, placed_pieces, contacts, located)` |
| `findings` | `held_findings(job, report, contacts)`: what to say about it |

numpy is loaded with `report`.
"""
