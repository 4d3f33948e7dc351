"""What the rack lacks, what can be used instead, and the proof where nothing can.

| module | what it answers |
| --- | --- |
| `values` | `SupplyReport` and what is in it: plain values |
| `instead` | another piece in the same holes, another stack, another pin |
| `report` | `supply(job, placed_pieces, contacts)` |
| `findings` | `supply_findings(job, report)`: what to say about it |
"""
