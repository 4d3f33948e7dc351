"""Tools that work on parts picked one after another: joins, notches, dimensions."""
