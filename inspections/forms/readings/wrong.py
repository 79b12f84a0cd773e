"""What is wrong with a figure, and beside which field that is said."""

from __future__ import annotations


class Wrong(Exception):
    """A raw reading that cannot be read; ``field`` is where ``message`` is said."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field, self.message = field, message
