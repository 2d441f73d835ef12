"""Two plans compared: what changed, in the words of the trade, and whom it concerns."""
