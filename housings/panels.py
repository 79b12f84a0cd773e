"""What other apps put on a housing's page and on its traveler. Imports run one way, so settings name them.

``settings.HOUSING_PANELS`` lists functions ``(situation, actor) -> sequence of Panel``, such as
``inspections.panels.due_here``. Each is called once for a page; the situation is the one that the gate was
asked with, so what it has read is not read again (`gate.Situation.kept`).

``settings.JOINT_PANELS`` lists functions ``(situation, joint, actor) -> sequence of Panel``: parts of the
page of one joint, which is not saved yet where a housing's joints are not laid. Their fragments are shown
with ``housing``, ``joint`` and ``actor``.

``settings.TRAVELER_ASKS`` lists functions ``(housing) -> mapping of a station's code to its asks``: what is
written by hand at that station. ``settings.TRAVELER_FOUND`` lists functions ``(situation) -> mapping of a
visit's key to what was read there``, in words by the code of the ask. ``settings.PACK_REMARKS`` lists
functions ``(keys of housings) -> mapping of a housing's key to sentences`` beside it in the list on paper.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

from housings.gate import Situation
from housings.models import Housing, Joint
from shopqc.people import Actor

HERE, WHOLE = "here", "whole"


@dataclass(frozen=True)
class NextStep:
    """A page where the next thing is done; the main action of the housing's page while it may not leave."""

    url: str
    label: str


@dataclass(frozen=True)
class Panel:
    """One part of a housing's page.

    Parameters
    ----------
    template : str
        A fragment that begins with its own ``<h2>``.
    context : mapping
        What the fragment shows, besides ``housing``, ``here`` (the present visit or ``None``), ``actor``.
    place : str
        ``HERE``: about the station the housing is at, above what is in the way.
        ``WHOLE``: about the whole housing, below.
    to_do : NextStep or None
        What has to be done before the housing can leave, if this panel knows the page for it.
    """

    template: str
    context: Mapping[str, Any] = field(default_factory=dict)
    place: str = HERE
    to_do: NextStep | None = None


@dataclass(frozen=True)
class Table:
    """Figures of one kind to be written by hand: ``columns`` are the heads, ``rows`` what each line is of."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[str, ...]


@dataclass(frozen=True)
class Ask:
    """One measuring to be written by hand on the traveler.

    Parameters
    ----------
    name : str
        What is measured.
    limit : str
        In words, such as "may be up to 0.005".
    unit : str
        Empty for a look, which is ticked.
    code : str
        Of the characteristic, by which what was read is found (`found_of`).
    blanks : tuple of str
        What each of several blanks is for: places, hours of the clock.
    figures : tuple of Ask
        The figures that come from one measuring, which then share a line.
    tables : tuple of Table
        What is written on the measuring sheet, because it is too much for the traveler.
    below : tuple of str
        What is written below these tables, if not how it was measured.
    text : bool
        Numbers and stamps are written, so that a blank without a unit is not a box to tick.
    """

    name: str
    limit: str = ""
    unit: str = ""
    code: str = ""
    blanks: tuple[str, ...] = ()
    figures: tuple[Ask, ...] = ()
    tables: tuple[Table, ...] = ()
    below: tuple[str, ...] = ()
    text: bool = False


def panels_of(situation: Situation, actor: Actor) -> list[Panel]:
    """Every panel of a housing's page, in the order in which settings name them."""
    found: list[Panel] = []
    for name in settings.HOUSING_PANELS:
        of_app: Callable[[Situation, Actor], Sequence[Panel]] = import_string(name)
        found += of_app(situation, actor)
    return found


def panels_of_joint(situation: Situation, joint: Joint, actor: Actor) -> list[Panel]:
    """Every panel of the page of a joint, in the order in which settings name them."""
    found: list[Panel] = []
    for name in settings.JOINT_PANELS:
        of_app: Callable[[Situation, Joint, Actor], Sequence[Panel]] = import_string(name)
        found += of_app(situation, joint, actor)
    return found


def asks_of(housing: Housing) -> Mapping[str, Sequence[Ask]]:
    """What is written by hand at each station."""
    found: dict[str, list[Ask]] = defaultdict(list)
    for name in settings.TRAVELER_ASKS:
        of_app: Callable[[Housing], Mapping[str, Sequence[Ask]]] = import_string(name)
        for station, asks in of_app(housing).items():
            found[station] += asks
    return found


def found_of(situation: Situation) -> Mapping[int, Mapping[str, str]]:
    """What was read at each visit, by its key, in words by the code of the ask."""
    found: dict[int, dict[str, str]] = defaultdict(dict)
    for name in settings.TRAVELER_FOUND:
        of_app: Callable[[Situation], Mapping[int, Mapping[str, str]]] = import_string(name)
        for visit, words in of_app(situation).items():
            found[visit].update(words)
    return found


def remarks_on(housings: Sequence[int]) -> Mapping[int, Sequence[str]]:
    """What is to be said of housings besides where they are, by their keys."""
    found: dict[int, list[str]] = defaultdict(list)
    for name in settings.PACK_REMARKS:
        of_app: Callable[[Sequence[int]], Mapping[int, Sequence[str]]] = import_string(name)
        for housing, sentences in of_app(housings).items():
            found[housing] += sentences
    return found
