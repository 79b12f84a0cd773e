"""What welding puts on the traveler: who welded each joint, how warm it was, and of which steel.

Named by settings as `TRAVELER_ASKS` and `TRAVELER_FOUND`. It asks where the shop records its welds and its
steel, by rule or because joints were given procedures; a shop that does neither has the paper it had. Many
passes have a table on the sheet behind.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from django.utils.translation import gettext as _

from housings import queries
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.procedures import Procedure, procedure_from
from housings.engineering.spec import spec_from
from housings.gate import Situation
from housings.material_queries import materials_of
from housings.material_rules import STEEL_TRACED
from housings.models import Housing, Joint, JointProcedure, MaterialUse, WeldPass
from housings.panels import Ask, Table
from housings.weld_queries import unsaved_joints
from housings.weld_rules import WELDS_RECORDED
from shopqc.models import Shop
from shopqc.rules import in_use, the_shop

MOST_PASSES = 10  # of a snout in 1/2 in of wall: seven to ten (common practice, no source)


def asks(housing: Housing) -> Mapping[str, Sequence[Ask]]:
    """What is written by hand at each station that welds or joins traced steel."""
    shop = the_shop()
    rules = in_use(shop)
    procedures = _procedures(housing)
    found: dict[str, list[Ask]] = defaultdict(list)
    if STEEL_TRACED in rules:
        for station, parts in _parts_by_station(housing).items():
            found[station].append(
                Ask(
                    _("Heat number"),
                    code=_steel_code(station),
                    blanks=tuple(_(part.name) for part in parts),
                    text=True,
                )
            )
    if WELDS_RECORDED in rules or procedures:
        for joint in queries.joints_of_housing(housing) or unsaved_joints(housing):
            found[joint.station].append(_of(joint, procedures.get(joint.code), shop))
    return found


def _procedures(housing: Housing) -> Mapping[str, Procedure]:
    """By the code of the joint, the newest procedure it was given for its weld."""
    given = JointProcedure.objects.filter(joint__housing=housing).select_related("joint", "procedure")
    found: dict[str, Procedure] = {}
    for entry in given.order_by("pk"):
        procedure = procedure_from(entry.procedure.data) if entry.procedure else None
        if procedure is None:
            found.pop(entry.joint.code, None)
        elif not procedure.for_repair:
            found[entry.joint.code] = procedure
    return found


def _of(joint: Joint, procedure: Procedure | None, shop: Shop) -> Ask:
    """The line of one joint: its passes and stamp, or stamp and temperature."""
    code = _weld_code(joint)
    unit = f"°{procedure.temperature_unit if procedure else shop.temperature_unit}"
    if joint.is_multipass:
        most = procedure.passes.most if procedure else None
        numbers = tuple(str(number) for number in range(1, int(most or MOST_PASSES) + 1))
        rows = (_("%(unit)s before") % {"unit": unit}, _("stopped at (clock)"), _("stamp"), _("time"))
        table = Table(_pass_title(procedure), numbers, rows)
        below = (
            _("Procedure"),
            _("Filler"),
            _("Gas"),
            _("Amps"),
            _("Volts"),
            _("Travel"),
            _("Root looked at by"),
        )
        return Ask(
            _name(joint),
            code=code,
            unit=_("passes"),
            blanks=(_("stamp"), _("done")),
            tables=(table,),
            below=below,
        )
    limit = _("%(count)d welds") % {"count": joint.count} if joint.count > 1 else ""
    return Ask(_name(joint), limit, unit, code, blanks=(_("stamp"), _("at")))


def _pass_title(procedure: Procedure | None) -> str:
    """The head of the table of passes, with the temperatures between which each begins."""
    if procedure is None or procedure.preheat_least is None or procedure.interpass_greatest is None:
        return _("Pass")
    return _("Pass, each begun at %(least)s to %(most)s °%(unit)s") % {
        "least": procedure.preheat_least,
        "most": procedure.interpass_greatest,
        "unit": procedure.temperature_unit,
    }


def _name(joint: Joint) -> str:
    """The joint's name with its side behind, so that left and right share a line."""
    name = str(_(joint.name))
    side = joint.side.title()
    if not side or not name.startswith(f"{side} "):
        return name
    rest = name.removeprefix(f"{side} ")
    return f"{rest[:1].upper()}{rest[1:]}, {joint.side}"


def _parts_by_station(housing: Housing) -> Mapping[str, list[TracedPart]]:
    found: dict[str, list[TracedPart]] = defaultdict(list)
    for part in parts_of(spec_from(housing.spec.data)):
        found[part.station].append(part)
    return found


def found(situation: Situation) -> Mapping[int, Mapping[str, str]]:
    """What is on record of each visit: who welded a joint and how often, and the heats of its steel."""
    words: dict[int, dict[str, str]] = defaultdict(dict)
    passes: dict[tuple[int, str], list[WeldPass]] = defaultdict(list)
    for one in situation.weld_passes:
        passes[one.visit_id, _weld_code(one.joint)].append(one)
    for (visit, code), done in passes.items():
        words[visit][code] = _welded(done)
    wanted = _parts_by_station(situation.housing)
    stations = {visit.pk: visit.station for visit in situation.visits}
    used: dict[int, list[MaterialUse]] = defaultdict(list)
    for use in materials_of(situation.housing):
        used[use.visit_id].append(use)
    for visit, uses in used.items():
        station = stations[visit]
        # Some of the heats leave the rest of the blanks to be filled in.
        if {part.code for part in wanted.get(station, ())} <= {use.part for use in uses}:
            words[visit][_steel_code(station)] = ", ".join(_once(use.heat.number for use in uses))
    return words


def _welded(done: Sequence[WeldPass]) -> str:
    stamps = ", ".join(_once(one.welder.stamp for one in done))
    return stamps if len(done) == 1 else _("%(count)d by %(stamps)s") % {"count": len(done), "stamps": stamps}


def _once(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _weld_code(joint: Joint) -> str:
    return f"weld {joint.code}"


def _steel_code(station: str) -> str:
    return f"steel {station}"
