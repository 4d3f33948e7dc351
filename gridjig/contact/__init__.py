"""What touches what: the working features of placed pieces against the faces of the weldment.

One model, from the same shapes as conflicts, so that the two never disagree: a contact means
"overlap" only where `checks.conflicts` finds a body in a part, and every such pair is listed.

| module | what it answers |
| --- | --- |
| `values` | `Contact`, `PartContact`, `Role`, `PieceContacts`, `JobContacts`: plain values |
| `book` | `contacts(job, stands)`; `Contacts().of(job, stands)` keeps what an edit leaves alone |
| `touching` | `ways_to_touch`, `to_touch`: slide, turn, leaf, reach and packing that reach a face |
| `pressing` | the same of a clamp that presses down: to the middle of a member |
| `moving` | `shift_to_touch`: how to move the work; `astride`: two pins about a member |
| `weldment` | `part_contacts`, `part_overlaps`: the parts among themselves |
| `titles` | `side_title`: what a face of a part is called |
| `overlap`, `shapes` | how far two things lie in one another, and the room that they take |
| `features`, `sides`, `upright`, `level`, `roles` | how it is found |

Sign and frame: table millimetres, z up from the table; `normal` looks out of the part, so that a
locator pushes the part along its opposite, at `points`; `gap` is 0 where they touch and below 0
inside.  A row of the locating matrix for a point p and n = -normal is (nx, ny, px ny - py nx).

This package puts nothing on the screen and knows no Qt.  numpy and shapely are loaded with `book`,
`touching` and `weldment`, not with `shapes` and `overlap`, which the first picture may need.
"""
