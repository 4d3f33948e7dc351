"""Forms of the shop's aids: angle chart, dimension chain, stock sections."""
