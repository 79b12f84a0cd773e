"""Entering readings at a bench."""

from inspections.pages.entry.drafts import draft
from inspections.pages.entry.view import entry

__all__ = ["draft", "entry"]
