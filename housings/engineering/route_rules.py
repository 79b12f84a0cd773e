"""Which orders of stations make a route, each refusal with its reason.

A rule says that one station may not stand before, or after, another; it bites only if both are on the route.
What is mandatory is said by the catalogue (`stations`). Source of the rules: common practice, no source.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from .stations import STATIONS, StationKind

__all__ = ["ORDER_RULES", "OrderRule", "RouteProblem", "default_route", "long_route", "reasons_against_route"]


@dataclass(frozen=True, slots=True)
class RouteProblem:
    """One reason against a route.

    `code` is for programs, `station` the station it is about (its code as given, perhaps unknown), `facts`
    are the words of the sentence, `sentence` is for people.
    """

    code: str
    station: str
    facts: Mapping[str, str] = field(hash=False)
    sentence: str


@dataclass(frozen=True, slots=True)
class OrderRule:
    """`earlier` must stand before `later` if both are on the route; `station` (one of them) is to blame."""

    code: str
    earlier: str
    later: str
    station: str
    reason: str


def _rule(code: str, earlier: str, later: str, blamed: str, reason: str) -> OrderRule:
    return OrderRule(code, earlier, later, blamed, reason)


_HEAVY = tuple(code for code, entry in STATIONS.items() if entry.kind is StationKind.HEAVY_WELD)
_WELDED = tuple(code for code, entry in STATIONS.items() if entry.welds)
_ON_THE_HOUSING = tuple(
    code for code, entry in STATIONS.items() if entry.moves_metal and code not in ("cut_and_bevel", "tack")
)

ORDER_RULES: tuple[OrderRule, ...] = (
    _rule(
        "steel_not_received_first",
        "receive_steel",
        "cut_and_bevel",
        "receive_steel",
        "a piece that is cut before its heat number and grade are checked cannot be traced",
    ),
    _rule(
        "steel_not_received_first",
        "receive_steel",
        "jig",
        "receive_steel",
        "a piece that is fitted before its heat number and grade are checked cannot be traced",
    ),
    _rule(
        "cut_after_fitting",
        "cut_and_bevel",
        "jig",
        "cut_and_bevel",
        "a bevel can only be cut before the pieces stand in the fixture",
    ),
    _rule(
        "tacked_without_jig", "jig", "tack", "tack", "pieces tacked before they are located stay out of place"
    ),
    *(
        _rule(
            "work_before_tack",
            "tack",
            code,
            code,
            "pieces that are not tacked move, and their fit-up must be seen before it is welded over",
        )
        for code in _ON_THE_HOUSING
    ),
    *(
        _rule(
            "facing_before_heavy_welding",
            code,
            "face_and_drill",
            "face_and_drill",
            "this welding pulls everything out of place, so a face and holes cut before it end up off",
        )
        for code in _HEAVY
    ),
    _rule(
        "straightening_after_facing",
        "straighten",
        "face_and_drill",
        "straighten",
        "bending the tubes moves axis A-B, from which the face has been cut",
    ),
    _rule(
        "stress_relief_after_facing",
        "stress_relief",
        "face_and_drill",
        "stress_relief",
        "the furnace lets the housing move and scales the cut face",
    ),
    *(
        _rule(
            "straightening_before_heavy_welding",
            code,
            "straighten",
            "straighten",
            "this welding would bend the straightened tubes again",
        )
        for code in _HEAVY
    ),
    *(
        _rule(
            "stress_relief_before_welding",
            code,
            "stress_relief",
            "stress_relief",
            "this work puts new stress into the housing after the furnace has taken it out",
        )
        for code in (*_HEAVY, "brackets", "straighten")
    ),
    *(
        _rule(
            "testing_before_welding",
            code,
            "non_destructive_testing",
            "non_destructive_testing",
            "heat or force after the test can open a crack that the test has not seen",
        )
        for code in (*_HEAVY, "brackets", "straighten", "stress_relief")
    ),
    _rule(
        "armor_before_facing",
        "face_and_drill",
        "armor",
        "armor",
        "the dummy plate that holds the face while the armor is welded needs the cut face and its holes",
    ),
    _rule(
        "armor_before_testing",
        "non_destructive_testing",
        "armor",
        "armor",
        "the armor covers welds that have to be tested",
    ),
    _rule(
        "bubble_test_after_armor",
        "seam_bubble_test",
        "armor",
        "seam_bubble_test",
        "the armor hides the seams, so a bubble there could not be seen any more",
    ),
    *(
        _rule(
            "bubble_test_before_seams_are_done",
            code,
            "seam_bubble_test",
            "seam_bubble_test",
            "this work can open a seam that has been found tight",
        )
        for code in ("tack", *_HEAVY, "straighten", "stress_relief")
    ),
    _rule(
        "cleaned_before_machining",
        "face_and_drill",
        "clean_inside",
        "clean_inside",
        "facing, drilling and tapping throw new chips inside",
    ),
    *(
        _rule(
            "closed_before_cleaning",
            "clean_inside",
            code,
            code,
            "chips and weld balls behind it could neither be seen nor be taken out any more",
        )
        for code in ("armor", "caps_and_fittings")
    ),
    *(
        _rule(
            "leak_test_before_welding",
            code,
            "leak_test",
            "leak_test",
            "a weld made after the leak test has not been tested for leaks",
        )
        for code in _WELDED
    ),
    *(
        _rule(
            "coated_too_early",
            code,
            "coat",
            "coat",
            "this work burns or scratches the coating off, or has to see the bare weld",
        )
        for code in (*_WELDED, "straighten", "stress_relief", "non_destructive_testing", "face_and_drill")
    ),
    _rule(
        "coated_before_leak_test",
        "leak_test",
        "coat",
        "coat",
        "a coating can cover a leak, so the bare housing is tested",
    ),
)
"""Every rule of order, one line per pair of stations."""


def reasons_against_route(stations: Sequence[str], links: bool = False) -> tuple[RouteProblem, ...]:
    """Every reason why these stations, in this order, are no route; empty if they are one.

    Parameters
    ----------
    stations : codes of the catalogue, in the order of the floor
    links : whether the build spec has link tabs, which need the station for brackets

    >>> reasons_against_route(default_route(False))
    ()
    >>> route = list(default_route(False))
    >>> route.remove("face_and_drill"); route.insert(1, "face_and_drill")
    >>> sorted({problem.code for problem in reasons_against_route(route)})
    ['facing_before_heavy_welding', 'work_before_tack']
    """
    if not stations:
        return (RouteProblem("route_empty", "", {}, "This route has no stations."),)
    known = [code for code in stations if code in STATIONS]
    return (
        *_unknown(stations),
        *_doubled(known),
        *_missing(known, links),
        *_out_of_order(known),
        *_not_last(known),
        *_not_measured_after_facing(known),
    )


def _problem(code: str, station: str, sentence: str, **facts: str) -> RouteProblem:
    return RouteProblem(code, station, {"station": _name(station), **facts}, sentence)


def _name(code: str) -> str:
    return STATIONS[code].name if code in STATIONS else code


def _unknown(stations: Sequence[str]) -> list[RouteProblem]:
    return [
        _problem("station_unknown", code, f"There is no station “{code}” in the catalogue.")
        for code in dict.fromkeys(stations)
        if code not in STATIONS
    ]


def _doubled(known: Sequence[str]) -> list[RouteProblem]:
    return [
        _problem(
            "station_doubled",
            code,
            f"“{_name(code)}” stands on the route {count} times; a second visit is added to a housing"
            " when rework needs it, not to the route.",
            times=str(count),
        )
        for code, count in Counter(known).items()
        if count > 1
    ]


def _missing(known: Sequence[str], links: bool) -> list[RouteProblem]:
    missing = [
        _problem(
            "station_missing",
            code,
            f"“{entry.name}” is missing: no housing is built without it.",
        )
        for code, entry in STATIONS.items()
        if not entry.optional and code not in known
    ]
    if links and "brackets" not in known:
        missing.append(
            _problem(
                "brackets_missing",
                "brackets",
                f"“{_name('brackets')}” is missing, but the build spec has links,"
                " and their tabs have to be welded on.",
            )
        )
    return missing


def _out_of_order(known: Sequence[str]) -> list[RouteProblem]:
    first = {code: index for index, code in reversed(list(enumerate(known)))}
    last = {code: index for index, code in enumerate(known)}
    return [
        _problem(
            rule.code,
            rule.station,
            f"“{_name(rule.earlier)}” has to come before “{_name(rule.later)}”: {rule.reason}.",
            earlier=_name(rule.earlier),
            later=_name(rule.later),
            reason=rule.reason,
        )
        for rule in ORDER_RULES
        if rule.earlier in last and rule.later in first and last[rule.earlier] > first[rule.later]
    ]


def _not_last(known: Sequence[str]) -> list[RouteProblem]:
    """Sign-off follows final inspection, so only what may wait for it stands behind."""
    if "final_inspection" not in known:
        return []
    final = known.index("final_inspection")
    late = [
        _problem(
            "after_final_inspection",
            code,
            f"“{_name(code)}” stands after “{_name('final_inspection')}”: sign-off follows the final"
            " inspection, and what is done between would be inspected by nobody.",
        )
        for code in dict.fromkeys(known[final + 1 :])
        if not STATIONS[code].after_sign_off and code != "final_inspection"
    ]
    early = [
        _problem(
            "before_sign_off",
            code,
            f"“{_name(code)}” has to come after “{_name('final_inspection')}”: it hides what is inspected"
            " there and is done once somebody has signed.",
        )
        for code in dict.fromkeys(known[:final])
        if STATIONS[code].after_sign_off
    ]
    return late + early


def _not_measured_after_facing(known: Sequence[str]) -> list[RouteProblem]:
    """Welding after facing is allowed (armor always is), if what it moves is measured afterwards."""
    if "face_and_drill" not in known:
        return []
    facing = known.index("face_and_drill")
    return [
        _problem(
            "not_measured_after_facing",
            code,
            f"“{_name(code)}” comes after “{_name('face_and_drill')}” and can move the face, and no"
            f" “{_name('final_inspection')}” after it measures again what it moved.",
        )
        for index, code in enumerate(known)
        if index > facing
        and code != "face_and_drill"
        and STATIONS[code].moves_metal
        and "final_inspection" not in known[index:]
    ]


def default_route(links: bool) -> tuple[str, ...]:
    """The trade's default: the mandatory stations, with brackets where the build spec has links.

    >>> default_route(True)[:5]
    ('jig', 'tack', 'truss', 'brackets', 'snouts')
    """
    return tuple(
        code for code, entry in STATIONS.items() if not entry.optional or (links and code == "brackets")
    )


def long_route(links: bool) -> tuple[str, ...]:
    """Every station of the catalogue in a sensible order; brackets only where the build spec has links.

    >>> long_route(False)[-3:]
    ('coat', 'final_inspection', 'pack')
    """
    return tuple(code for code in STATIONS if links or code != "brackets")
