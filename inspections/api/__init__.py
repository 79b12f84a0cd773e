"""The API about what is measured and proven."""
