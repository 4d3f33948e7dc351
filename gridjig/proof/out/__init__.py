"""Whether the welded work comes out again: what is over it, which ways are free, what it closes on.

| module | what it answers |
| --- | --- |
| `values` | `OutReport`, `WeldmentOut`, `JointClosing`, `Trap`: plain values |
| `directions` | the directions in which one plan leaves others, exactly |
| `lifting` | what is over the work, and what has to come off first |
| `closing` | by how much each joint closes, by the published rules or the shop's own value |
| `drawing_in` | how the parts move when joints close |
| `gripping` | what the work closes on |
| `free_ends` | how far ends swing that one joint holds |
| `report` | `out(job, placed_pieces, contacts)`; `Ways().of(...)` keeps what an edit leaves |
| `findings` | `out_findings(job, report)`: what to say about it |

    out(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> OutReport
    out_findings(job: Job, report: OutReport) -> Iterator[Finding]

numpy is loaded with everything but `values` and `closing`.
"""
