"""What is asked of a whole job: does it clash, is it held, is it on the rack.  Draws nothing."""
