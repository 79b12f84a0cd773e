"""Engineering of an axle housing, without a database: stations, route rules, serials, fit rules.

Nothing here imports Django, asks a clock, or reads a file, so every rule can be tried at a prompt.
"""
