"""The hole grid: directions between holes, and which holes can be used."""
