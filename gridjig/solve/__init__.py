"""What follows from a job: how pieces stand on their pins, and how the weldment lies on the table.

Everything is imported from its own module.  What works with arrays or areas (`poses`, `reach`,
`angles`) costs a tenth of a second to load, and a table can be shown without it.
"""
