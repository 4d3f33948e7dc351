"""Forms for shop aids: angle chart, dimension chain, stock sections."""
