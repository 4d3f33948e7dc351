"""What the person can do, each declared once: words, keys, when it is possible, and its handler.

`registry.ACTIONS` is all of them; menus, the tool row, tooltips, the sheet of keys and the tests
are made from it.  A handler gets a `Port` and nothing else, so no module here knows the window.
"""
