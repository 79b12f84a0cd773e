"""Pages about what is built, one file a noun."""
