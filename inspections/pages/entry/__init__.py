"""Entering readings at a bench."""

from inspections.pages.entry.drafts import draft
from inspections.pages.entry.paper import page_of
from inspections.pages.entry.view import entry

__all__ = ["draft", "entry", "page_of"]
