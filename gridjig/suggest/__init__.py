"""A complete, proved set-up from a weldment, a table and a rack.

| module | what it answers |
| --- | --- |
| `values` | `Wishes`, `Weights`, `Alternative`, `Why`, `Suggestion`: plain values |
| `search` | `suggest(job, wishes, progress, found)`: alternatives, each a whole `Job`, or why none |

Every alternative has been through `proof.report.prove` and has no finding of the level "stop".
Here only plain values are imported; numpy, shapely and highspy are loaded with `search`.
"""
