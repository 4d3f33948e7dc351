"""A complete, proved set-up from a weldment, a table and a rack.

| module | what it answers |
| --- | --- |
| `values` | `Wishes`, `Weights`, `Alternative`, `Suggestion`: plain values |
| `search` | `suggest(job, wishes, progress, found)`: alternatives as whole jobs, or why none |
| `lies` | where the work may lie |
| `site`, `rests`, `clamping` | the pieces that can be set about it: `Atom` |
| `before`: `stops`, `rigid`, `arms` | those before a face: along the grid or askew, packed |
| `lattice`, `pinned` | every way to hold a single part with three pins and a clamp |
| `scene`, `different` | what the proof taught of one place; when two set-ups are different ones |
| `demands`, `both` | what each part asks for, and the options that give it; a square gives two |
| `choosing`, `engine` | one option of each group, at the least cost: `Puzzle`, `choose` |
| `plates` | plates that could be cut for a sloping face that nothing of the rack holds |
| `why`, `explain`, `relaxing` | why a piece stands there, what is missing, what would help |

Every alternative has been through `proof.report.prove` and has no finding of the level "stop".
Here only plain values are imported; numpy, shapely and highspy are loaded with `search`.
"""
