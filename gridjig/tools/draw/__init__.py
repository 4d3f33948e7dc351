"""Tools that put something new on the table: a piece, a member, a plate."""
