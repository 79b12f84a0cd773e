"""Pages of the shop as a whole, one file a place."""
