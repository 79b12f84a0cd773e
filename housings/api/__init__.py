"""The API about what is built."""
