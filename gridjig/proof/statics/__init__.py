"""The statics of a rigid body in the plane: arithmetic on rows, which knows no job.

A contact at a point p with a unit normal n into the body gives the row (nx, ny, px ny - py nx): the
force and moment of a unit push, and how fast the gap opens in a small motion (dx, dy, turn).  Rows
are taken about a point of the body, and their third column divided by its radius of gyration, so
that all three have the same unit and a rank means something.

| module | what it answers |
| --- | --- |
| `rows` | `BodyFrame`; rows from contacts, motions back from rows |
| `rank` | which motions are left, how firmly the others are held, how errors grow |
| `closure` | whether contacts let a body go nowhere, by cross products, by minors, by margin |
| `programme`, `simplex` | linear programmes with few rows |
| `exact_simplex` | those that floating point does not settle |
| `seating` | which contacts touch, by how much they fight, how far the others stand off |
| `second` | what contacts hold that meet in one point |
| `reactions` | the forces on locators; how hard a push friction takes |
"""
