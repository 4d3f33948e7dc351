"""What the hole grid offers: directions between holes, and which holes can be used."""
