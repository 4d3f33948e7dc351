"""Whether the pieces locate every part and every weldment, in the order in which they are loaded.

| module | what it answers |
| --- | --- |
| `report` | `located(job, placed_pieces, contacts)`: a `LocatedReport` |
| `findings` | `located_findings(job, report)`: what to say about it |
| `values` | `Located`, `Motion`, `Fight`, `ShortBase`, `LocatedReport`: plain values |
| `order` | in which order the parts are loaded |
| `ground` | what grips each part, sorted once for every question |
| `grips`, `body` | one contact as the statics needs it; the figures of one body |
| `wording` | what parts, pieces and directions are called in a sentence |

numpy is loaded with `report`.
"""
