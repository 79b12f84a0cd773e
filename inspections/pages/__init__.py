"""The pages about what is measured and proven, one file a noun."""
