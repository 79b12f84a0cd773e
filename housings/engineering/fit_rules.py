"""Whether the pieces of a build spec go together: each rule is data with its reason and where it comes from.

A rule looks at one spec and one catalogue and says nothing, or the facts that speak against the spec. A rule
whose catalogue entry is missing says nothing: the missing entry has a reason of its own.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from .fit_catalogue import DEMO, Catalogue
from .spec import FitProblem, Spec, SpecErrors, spec_from

__all__ = ["FIT_RULES", "FitProblem", "FitRule", "Spec", "SpecErrors", "reasons_against", "spec_from"]

COMMON_PRACTICE = "common practice, no source"
INVENTED = "invented figures, a shop replaces them"

Facts = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class FitRule:
    """One rule of fit.

    `fields`: the fields of the spec it looks at, the one to blame first. `says`: the sentence, with the words
    in braces taken from the facts; it holds the reason. `source`: where the rule comes from.
    `against`: the facts that speak against a spec, or None.
    """

    code: str
    fields: tuple[str, ...]
    says: str
    source: str
    against: Callable[[Spec, Catalogue], Facts | None]

    def problem(self, spec: Spec, catalogue: Catalogue) -> FitProblem | None:
        facts = self.against(spec, catalogue)
        if facts is None:
            return None
        return FitProblem(self.code, self.fields[0], facts, self.says.format_map(facts))


def reasons_against(spec: Spec, catalogue: Catalogue = DEMO) -> tuple[FitProblem, ...]:
    """Every reason why the pieces of this spec do not go together; empty if they do.

    >>> order = {"tube_od": "4", "tube_wall": "0.375", "tube_grade": "4130", "tube_condition": "normalised",
    ...          "plate_grade": "4130", "armor_thickness": "0.250", "snout_size": "2.25",
    ...          "snout_grade": "4140", "shaft": "35", "width": "66", "links": False}
    >>> [problem.code for problem in reasons_against(spec_from(order))]
    ['snout_does_not_go_with_tube']
    >>> reasons_against(spec_from(order | {"snout_size": "2.5"}))
    ()
    """
    problems = (rule.problem(spec, catalogue) for rule in FIT_RULES)
    return tuple(problem for problem in problems if problem is not None)


# Plain carbon steel in the numbering of SAE J403 (10xx, 11xx, 12xx, 15xx) and the usual structural grades.
_PLAIN_CARBON = re.compile(r"(?:1[0125]\d\d[A-Z]?|A36|A53|A500|A513)(?:[ -].*)?")


def is_plain_carbon(grade: str) -> bool:
    """Whether a tidy steel name is a plain carbon steel. Source: SAE J403 series, from memory.

    >>> is_plain_carbon("1020"), is_plain_carbon("4130")
    (True, False)
    """
    return bool(_PLAIN_CARBON.fullmatch(grade))


def _text(value: Decimal | str) -> str:
    return format(value, "f") if isinstance(value, Decimal) else value


def _list(values: Iterable[Decimal | str]) -> str:
    return ", ".join(map(_text, values))


def _tube_od(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if catalogue.tube(spec.tube_od):
        return None
    return {"od": _text(spec.tube_od), "made": _list(tube.od for tube in catalogue.tubes)}


def _tube_wall(spec: Spec, catalogue: Catalogue) -> Facts | None:
    tube = catalogue.tube(spec.tube_od)
    if tube is None or spec.tube_wall in tube.walls:
        return None
    return {"od": _text(tube.od), "wall": _text(spec.tube_wall), "made": _list(tube.walls)}


def _carbon_in(field: str) -> Callable[[Spec, Catalogue], Facts | None]:
    def against(spec: Spec, catalogue: Catalogue) -> Facts | None:
        grade: str = getattr(spec, field)
        return {"grade": grade} if is_plain_carbon(grade) else None

    return against


def _tube_grade(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if spec.tube_grade in catalogue.tube_grades or is_plain_carbon(spec.tube_grade):
        return None
    return {"grade": spec.tube_grade, "used": _list(catalogue.tube_grades)}


def _tube_condition(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if spec.tube_condition in catalogue.tube_conditions:
        return None
    return {
        "grade": spec.tube_grade,
        "condition": spec.tube_condition,
        "used": _list(catalogue.tube_conditions),
    }


def _plate_grade(spec: Spec, catalogue: Catalogue) -> Facts | None:
    tube = catalogue.tube(spec.tube_od)
    if tube is None or spec.plate_grade in tube.plate_grades or is_plain_carbon(spec.plate_grade):
        return None
    return {"grade": spec.plate_grade, "od": _text(tube.od), "used": _list(tube.plate_grades)}


def _snout_grade(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if spec.snout_grade in catalogue.snout_grades or is_plain_carbon(spec.snout_grade):
        return None
    return {"grade": spec.snout_grade, "used": _list(catalogue.snout_grades)}


def _armor(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if spec.armor_thickness in catalogue.armor_thicknesses:
        return None
    return {"thickness": _text(spec.armor_thickness), "made": _list(catalogue.armor_thicknesses)}


def _snout_size(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if catalogue.snout(spec.snout_size):
        return None
    return {"size": _text(spec.snout_size), "made": _list(snout.size for snout in catalogue.snouts)}


def _snout_in_tube(spec: Spec, catalogue: Catalogue) -> Facts | None:
    tube, snout = catalogue.tube(spec.tube_od), catalogue.snout(spec.snout_size)
    if tube is None or snout is None or snout.size in tube.snouts:
        return None
    return {"size": _text(snout.size), "od": _text(tube.od), "takes": _list(tube.snouts)}


def _shaft_in_hub(spec: Spec, catalogue: Catalogue) -> Facts | None:
    snout = catalogue.snout(spec.snout_size)
    if snout is None or spec.shaft in snout.shafts:
        return None
    return {"shaft": spec.shaft, "size": _text(snout.size), "takes": _list(snout.shafts)}


def _shaft_in_bore(spec: Spec, catalogue: Catalogue) -> Facts | None:
    """Body and spline both have to pass; the larger decides. Exact: a clearance equal to the least fits."""
    snout, shaft = catalogue.snout(spec.snout_size), catalogue.shaft(spec.shaft)
    if snout is None or shaft is None:
        return None
    largest = shaft.largest(spec.shaft_body)
    clearance = (snout.bore - largest) / 2
    if clearance >= catalogue.least_clearance:
        return None
    return {
        "shaft": _text(largest),
        "part": "spline" if largest > (spec.shaft_body or shaft.body_diameter) else "body",
        "bore": _text(snout.bore),
        "clearance": _text(clearance),
        "least": _text(catalogue.least_clearance),
    }


def _sides(spec: Spec, catalogue: Catalogue) -> Facts | None:
    shorter = spec.width / 2 - abs(spec.center_offset)
    if shorter >= catalogue.least_side:
        return None
    side = "right" if spec.center_offset > 0 else "left"
    return {"side": side, "length": _text(shorter), "least": _text(catalogue.least_side)}


def _camber(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if abs(spec.camber) <= catalogue.greatest_camber:
        return None
    return {"camber": _text(spec.camber), "greatest": _text(catalogue.greatest_camber)}


def _toe(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if abs(spec.toe) <= catalogue.greatest_toe:
        return None
    return {"toe": _text(spec.toe), "greatest": _text(catalogue.greatest_toe)}


def _needs(field: str) -> Callable[[Spec, Catalogue], Facts | None]:
    def against(spec: Spec, catalogue: Catalogue) -> Facts | None:
        return {} if spec.links and getattr(spec, field) is None else None

    return against


def _goes_without(field: str) -> Callable[[Spec, Catalogue], Facts | None]:
    def against(spec: Spec, catalogue: Catalogue) -> Facts | None:
        value = getattr(spec, field)
        return None if spec.links or value is None else {"value": _text(value)}

    return against


def _bracket_room(spec: Spec, catalogue: Catalogue) -> Facts | None:
    if spec.bracket_offset is None:
        return None
    shorter = spec.width / 2 - abs(spec.center_offset)
    if spec.bracket_offset < shorter:
        return None
    return {"offset": _text(spec.bracket_offset), "length": _text(shorter)}


FIT_RULES: tuple[FitRule, ...] = (
    FitRule(
        "tube_od_not_made",
        ("tube_od",),
        "Housings are made of tube of {made} in outside diameter; {od} in is none of them.",
        COMMON_PRACTICE,
        _tube_od,
    ),
    FitRule(
        "tube_wall_not_made",
        ("tube_wall", "tube_od"),
        "Tube of {od} in is used with a wall of {made} in; {wall} in is none of them.",
        INVENTED,
        _tube_wall,
    ),
    FitRule(
        "tube_of_plain_carbon_steel",
        ("tube_grade",),
        "{grade} is plain carbon steel: as tube it bends too easily; tubes are chromium-molybdenum steel.",
        COMMON_PRACTICE,
        _carbon_in("tube_grade"),
    ),
    FitRule(
        "tube_grade_not_used",
        ("tube_grade",),
        "Tubes are {used}, always a chromium-molybdenum steel; {grade} is not used.",
        COMMON_PRACTICE,
        _tube_grade,
    ),
    FitRule(
        "tube_condition_not_used",
        ("tube_condition", "tube_grade"),
        "Tubes are delivered {used}; a tube of {grade} that is “{condition}” does not have the strength, or"
        " the freedom from stress, that the housing counts on.",
        INVENTED,
        _tube_condition,
    ),
    FitRule(
        "plate_of_plain_carbon_steel",
        ("plate_grade",),
        "{grade} is plain carbon steel: the center carries the face, so its plate is a high-strength steel.",
        COMMON_PRACTICE,
        _carbon_in("plate_grade"),
    ),
    FitRule(
        "plate_grade_not_used",
        ("plate_grade", "tube_od"),
        "With tube of {od} in the plate is {used}; {grade} is not used with it.",
        INVENTED,
        _plate_grade,
    ),
    FitRule(
        "snout_of_plain_carbon_steel",
        ("snout_grade",),
        "{grade} is plain carbon steel: bearing journals would wear and bend; snouts are a low-alloy steel.",
        COMMON_PRACTICE,
        _carbon_in("snout_grade"),
    ),
    FitRule(
        "snout_grade_not_used",
        ("snout_grade",),
        "Snouts are {used}; for {grade} there is no welding procedure here.",
        INVENTED,
        _snout_grade,
    ),
    FitRule(
        "armor_not_made",
        ("armor_thickness",),
        "Armor plate is {made} in thick; {thickness} in is none of them.",
        INVENTED,
        _armor,
    ),
    FitRule(
        "snout_size_not_made",
        ("snout_size",),
        "Snouts have bearings of {made} in; {size} in is none of them.",
        COMMON_PRACTICE,
        _snout_size,
    ),
    FitRule(
        "snout_does_not_go_with_tube",
        ("snout_size", "tube_od"),
        "A snout of {size} in does not go with tube of {od} in, which takes snouts of {takes} in:"
        " its weld would not find the tube's wall.",
        COMMON_PRACTICE,
        _snout_in_tube,
    ),
    FitRule(
        "shaft_does_not_go_with_snout",
        ("shaft", "snout_size"),
        "A snout of {size} in takes these shafts: {takes}; its hub does not take “{shaft}”.",
        COMMON_PRACTICE,
        _shaft_in_hub,
    ),
    FitRule(
        "shaft_does_not_clear_bore",
        ("shaft_body", "shaft", "snout_size"),
        "The shaft's {part} of {shaft} in leaves {clearance} in all round in a bore of {bore} in;"
        " at least {least} in is needed, with room for oil.",
        INVENTED,
        _shaft_in_bore,
    ),
    FitRule(
        "side_too_short",
        ("width", "center_offset"),
        "The {side} side would be {length} in from the carrier's center line to its end;"
        " at least {least} in is needed for tube, snout and the fixture.",
        INVENTED,
        _sides,
    ),
    FitRule(
        "camber_too_large",
        ("camber",),
        "A camber of {camber}° is more than {greatest}° either way: the spline would run at an angle.",
        INVENTED,
        _camber,
    ),
    FitRule(
        "toe_too_large",
        ("toe",),
        "A toe of {toe}° is more than {greatest}° either way: the spline would run at an angle.",
        INVENTED,
        _toe,
    ),
    FitRule(
        "links_need_bracket_offset",
        ("bracket_offset", "links"),
        "With link tabs the distance of the brackets from the carrier's center line has to be given.",
        COMMON_PRACTICE,
        _needs("bracket_offset"),
    ),
    FitRule(
        "links_need_pinion_angle",
        ("pinion_angle", "links"),
        "With link tabs the pinion angle has to be given: the brackets are welded on at ride attitude.",
        COMMON_PRACTICE,
        _needs("pinion_angle"),
    ),
    FitRule(
        "bracket_offset_without_links",
        ("bracket_offset", "links"),
        "A bracket distance of {value} in is given, but the spec has no link tabs; say which is meant.",
        COMMON_PRACTICE,
        _goes_without("bracket_offset"),
    ),
    FitRule(
        "pinion_angle_without_links",
        ("pinion_angle", "links"),
        "A pinion angle of {value}° is given, but without link tabs there is nothing to measure it from.",
        COMMON_PRACTICE,
        _goes_without("pinion_angle"),
    ),
    FitRule(
        "brackets_beyond_end",
        ("bracket_offset", "width", "center_offset"),
        "Brackets {offset} in from the carrier's center line stand beyond the shorter side, {length} in.",
        COMMON_PRACTICE,
        _bracket_room,
    ),
)
"""Every rule of fit, in the order of the form."""
