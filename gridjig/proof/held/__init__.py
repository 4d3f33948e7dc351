"""Whether the clamps hold every part and every weldment against its locators.

| module | what it answers |
| --- | --- |
| `report` | `held(job, placed_pieces, contacts)`: a `HeldReport` |
| `findings` | `held_findings(job, report)`: what to say about it |
| `values` | `Held`, `Reaction`, `Clamping`, `HeldReport`: plain values |
| `body` | the figures of one body |

That a clamp presses where nothing is under or behind the part is for `checks.contact_findings`;
`Clamping.off` has the distance.  numpy is loaded with `report`.
"""
