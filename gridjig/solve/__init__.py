"""What follows from a job: how pieces sit on their pins, and how the weldment lies on the table.

Import each thing from its own module.  The packages that use arrays or areas (`poses`, `reach`,
`angles`) take a tenth of a second to load, and a table can be shown without them.
"""
