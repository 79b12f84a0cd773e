"""The first hour of a new shop: eight questions, one at a time, each of which can be left for later."""
