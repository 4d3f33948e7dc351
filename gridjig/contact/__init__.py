"""What touches what: the working features of placed pieces and the faces of the weldment.

It uses the same shapes as conflicts, so that the two never disagree: a contact means "overlap" only
if `checks.conflicts` finds a body in a part, and every such pair is listed.

| module | what it answers |
| --- | --- |
| `values` | `Contact`, `PartContact`, `Role`, `PieceContacts`, `JobContacts`: plain values |
| `book` | `contacts(job, placed_pieces)`; `Contacts().of(...)` keeps what an edit leaves alone |
| `touching` | `ways_to_touch`, `to_touch`: slide, turn, leaf, reach and packing that reach a face |
| `pressing` | the same for a clamp that presses down: to the middle of a member, over a rest |
| `spots` | where rests carry a part that is off the table |
| `moving` | `shift_to_touch`: how to move the work; `astride`: two pins about a member |
| `weldment` | `part_contacts`, `part_overlaps`: the parts among themselves |
| `carrying` | what carries a part: the table, rests, other parts |
| `titles` | `side_title`: what a face of a part is called |
| `overlap`, `shapes` | how far two things overlap, and the room that they take |
| `features`, `sides`, `upright`, `level`, `roles` | how it is found |

Signs and frame: table coordinates in mm, z up from the table; `normal` points out of the part, so a
locator pushes the part along -normal, at `points`; `gap` is 0 for touching and negative inside.
The row of the locating matrix for a point p and n = -normal is (nx, ny, px ny - py nx).

numpy and shapely are loaded with `book`, `touching` and `weldment`, but not with `shapes` and
`overlap`, which the first picture may need.
"""
