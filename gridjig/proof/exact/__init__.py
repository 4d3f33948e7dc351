"""How exactly a set-up places the work, and whether that is good enough for the tolerance class.

| module | what it answers |
| --- | --- |
| `values` | `ExactReport`, `MemberError`, `TapeReading`, `Spread`, `Sampled`: plain values |
| `sources` | the errors of one placed piece: play of its pins, holes, shims, face, scale |
| `bodies` | how the errors of the pieces move each part |
| `spread` | worst case and root-sum-square of a measure |
| `measures` | critical dimensions, overall sizes, diagonals |
| `in_line` | stops on one face that are out of line |
| `sampling` | `sampled(...)`: random set-ups |
| `report` | `exact(job, placed_pieces, contacts)`; `Exactness().of(...)` from edit to edit |
| `findings` | `exact_findings(job, report)`: what to say about it |

    exact(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> ExactReport
    exact_findings(job: Job, report: ExactReport) -> Iterator[Finding]

"""
