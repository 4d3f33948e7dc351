"""How to cut pieces from bars: which bars to buy, and which pieces from each."""
