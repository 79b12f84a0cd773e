"""Groups of stations whose order is free: next to each other on the route, and free of rules of order.

A group says that its stations may be done in any order among themselves, so no rule of order may hold
between two of them, and nothing may stand between them.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from .route_rules import ORDER_RULES, RouteProblem
from .stations import STATIONS

__all__ = ["reasons_against_groups"]


def reasons_against_groups(stations: Sequence[tuple[str, int | None]]) -> tuple[RouteProblem, ...]:
    """Every reason against the groups of a route.

    Parameters
    ----------
    stations : pairs of code and group (None: a place of its own), in the order of the floor

    >>> [problem.code for problem in reasons_against_groups([("jig", 1), ("tack", 1)])]
    ['group_has_an_order']
    >>> reasons_against_groups([("clean_inside", 1), ("seam_bubble_test", 1)])
    ()
    """
    groups: dict[int, list[int]] = {}
    for index, (_code, group) in enumerate(stations):
        if group is not None:
            groups.setdefault(group, []).append(index)
    found: list[RouteProblem] = []
    for group, places in groups.items():
        codes = [stations[place][0] for place in places]
        found += _not_together(group, places, codes)
        found += _has_an_order(codes)
    return tuple(found)


def _name(code: str) -> str:
    return STATIONS[code].name if code in STATIONS else code


def _problem(code: str, station: str, sentence: str, facts: Mapping[str, str]) -> RouteProblem:
    return RouteProblem(code, station, facts, sentence)


def _not_together(group: int, places: Sequence[int], codes: Sequence[str]) -> Iterator[RouteProblem]:
    if places[-1] - places[0] + 1 != len(places):
        names = ", ".join(map(_name, codes))
        yield _problem(
            "group_apart",
            codes[-1],
            f"The stations of group {group} ({names}) have to stand next to each other:"
            " what is between them could be passed over.",
            {"group": str(group)},
        )


def _has_an_order(codes: Sequence[str]) -> Iterator[RouteProblem]:
    for one, other in combinations(codes, 2):
        for rule in ORDER_RULES:
            if {rule.earlier, rule.later} == {one, other}:
                earlier, later = _name(rule.earlier), _name(rule.later)
                yield _problem(
                    "group_has_an_order",
                    rule.station,
                    f"“{earlier}” and “{later}” cannot be in any order: {rule.reason}.",
                    {"earlier": earlier, "later": later, "reason": rule.reason},
                )
