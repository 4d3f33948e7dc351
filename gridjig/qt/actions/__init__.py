"""Everything the user can do, each action declared once: wording, keys, when it is possible,
handler.

`registry.ACTIONS` holds them all; menus, the tool row, tooltips, the key sheet and the tests are
built from it.  A handler gets a `Port` and nothing else, so no module here knows the window.
"""
