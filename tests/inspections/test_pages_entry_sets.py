"""Several figures of one measuring: one thing to do, one page, one write, a verdict for each."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Housing
from inspections.models import Reading
from inspections.operations.gauges import add_gauge, withdraw_gauge
from shopqc.models import LedgerEntry
from shopqc.operations.shop import switch_rule
from tests.factories import GAUGE, Floor
from tests.good_readings import ring
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send

STATION = "face_and_drill"
FOUR = {"face_flatness", "face_distance", "face_parallelism", "pilot_center"}


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def at(housing: Housing, code: str = "") -> str:
    return f"/h/{housing.serial}/readings/" + (f"{code}/" if code else "")


def lines(points: list[list[str]]) -> str:
    return "\n".join(" ".join(point) for point in points)


def probed(height: str = "2.5") -> dict[str, Any]:
    return {
        "list": lines(ring(4.75, height)),
        "left_list": "-30 0 0",
        "right_list": "30 0 0",
        "bore_list": lines(ring(3.625, height, 8)),
        "gauge": GAUGE,
    }


def codes(**wanted: Any) -> set[str]:
    return set(Reading.objects.filter(**wanted).values_list("characteristic__code", flat=True))


def test_four_figures_are_one_line_of_what_is_due(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing))
    assert "Face and axis 4 figures from one measuring" in worker.page.text
    assert "Both ends from the bar 4 figures from one measuring" in worker.page.text
    assert at(housing, "face_flatness") in worker.page.links
    assert at(housing, "face_distance") not in worker.page.links


def test_one_probing_is_recorded_in_one_write_with_a_verdict_each(
    housing: Housing, signed_in: SignedIn
) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_distance"))  # whichever of them is asked for
    assert "4 figures from one measuring:" in worker.page.text
    written = LedgerEntry.objects.count()
    assert send(worker, **probed()).status_code == 302
    assert LedgerEntry.objects.count() == written + 1
    assert codes(station=STATION) == FOUR
    assert len(set(Reading.objects.filter(station=STATION).values_list("record_position"))) == 1
    worker.follow()
    for said in ("Flatness of the face: 0", "Distance of the face: 2.5", "Pass Face and axis"):
        assert said in worker.page.text
    # Two drawings at least: the face itself, and how it lies to the axis.
    assert worker.response is not None
    assert worker.response.content.decode().count("<figure") >= 2


def test_one_that_fails_shows_which_and_opens_its_nonconformance(
    housing: Housing, signed_in: SignedIn
) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness"))
    send(worker, **probed("2.6"))
    worker.follow()
    assert "Fail Face and axis" in worker.page.text
    assert worker.page.text.count("It opened nonconformance") == 1
    assert codes(station=STATION, verdict="fail") == {"face_distance"}


def test_a_face_without_the_journals_gives_what_it_can(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness"))
    send(worker, list=lines(ring(4.75, "2.5")), gauge=GAUGE)
    assert codes(station=STATION) == {"face_flatness"}
    worker.get(at(housing))
    assert "Distance of the face: may be" in worker.page.text


def test_a_reason_that_holds_for_all_is_said_once(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness"))
    assert send(worker, **probed(), temperature="700").status_code == 422
    # Once above the form and once beside the field.
    assert worker.page.text.count("700 is no temperature of a part in a shop.") == 2
    assert form_of(worker).values["left_list"] == "-30 0 0"


def test_a_correction_corrects_every_figure_of_the_measuring(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness"))
    send(worker, **probed("2.6"))
    wrong = Reading.objects.get(characteristic__code="face_distance")
    worker.get(at(housing, "face_distance") + f"?replaces={wrong.pk}")
    values = form_of(worker).values
    assert values["left_list"].split() == ["-30", "0", "0"]
    assert values["list"].splitlines()[0].split() == ["4.7500", "0.0000", "2.6"]
    assert send(worker, **probed("2.5"), reason="the wrong height was typed").status_code == 302
    assert codes(replaces__isnull=False) == FOUR
    right = Reading.objects.get(replaces=wrong)
    assert (right.verdict, right.reason) == ("pass", "the wrong height was typed")


def test_the_bar_is_read_once_for_both_ends(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "toe_right"))
    send(worker, list="-28 0 0\n-16 0 0\n16 0 0\n28 0 0", gauge=GAUGE)
    assert codes(station=STATION) == {"camber_left", "toe_left", "camber_right", "toe_right"}
    worker.follow()
    assert "Pass Both ends from the bar" in worker.page.text


def test_rolling_is_offered_only_where_it_could_change_the_verdict(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    bar = {"diameter": "1.5", "supports": ["-30", "30"]}
    floor.do(add_gauge, code="B-1", name="Bar", kind="bar", unit="in", constants=bar)
    worker = signed_in("W1")
    offered = "Roll it 180° and read once more"
    # This bar's sag tilts its ends by some 0.03° and is known to a part of that only: with it a camber of
    # 0.031° is far from the limit of 0.10°, one of 0.098° is not.
    for up, wanted in (("0", False), ("0.014", True)):
        worker.get(at(housing, "camber_left"))
        send(worker, list=f"-28 0 {up}\n-16 0 0\n16 0 0\n28 0 {up}", gauge=GAUGE, bar="B-1")
        worker.follow()
        assert (offered in worker.page.text) is wanted, worker.page.text[:600]
    worker.get(next(link for link in worker.page.links if "way=rolled" in link))
    values = form_of(worker).values
    assert (values["z_1"], values["y_1"], values["rolled_y_1"]) == ("-28", "0.014", "")


def test_what_is_chosen_once_is_remembered_for_the_visit(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "journal_runout_left"))
    typed = {f"turn_{number}": "0.001" for number in range(4)}
    held = {"support": "v_blocks", "v_angle": "90", "section": "turning", "settled": "on", "air": "70"}
    assert send(worker, gauge=GAUGE, **typed, **held).status_code == 302
    reading = Reading.objects.get(characteristic__code="journal_runout_left")
    assert reading.setup["support"] == "v_blocks" and reading.basis["settled"] is True
    worker.get(at(housing, "journal_runout_right"))
    values = form_of(worker).values
    assert {name: values[name] for name in held} == {**held, "settled": ["on"]}
    assert (
        "How it is held: G-1 Universal gauge, V-blocks 90°, settled to the air, air 70 °F" in worker.page.text
    )
    # What is measured otherwise keeps the air and not the V-blocks.
    worker.get(at(housing, "width"))
    values = form_of(worker).values
    assert (values["air"], values["settled"], "support" in values) == ("70", ["on"], False)
    # Somebody else has not said anything yet.
    other = signed_in("M1")
    other.get(at(housing, "journal_runout_right"))
    assert form_of(other).values["air"] == ""


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("B-9", "was withdrawn: it was dropped"),
        ("G-2", "The check of the gauge G-2 was due on"),
        ("P-1", "cannot have measured Width over the ends"),
        ("T-1", "T-1 Thermometer is chosen."),
        ("G-1", "Gauge G-1 is chosen."),
    ],
)
def test_what_is_scanned_is_chosen_or_said_to_be_of_no_use(
    housing: Housing, floor: Floor, signed_in: SignedIn, code: str, says: str
) -> None:
    for new, name, kind, unit in (
        ("B-9", "Caliper", "caliper", "in"),
        ("P-1", "Pressure gauge", "pressure_gauge", "psi"),
        ("T-1", "Thermometer", "thermometer", "°F"),
    ):
        floor.do(add_gauge, code=new, name=name, kind=kind, unit=unit)
    floor.do(withdraw_gauge, gauge="B-9", why="it was dropped")
    worker = signed_in("W1")
    worker.get(at(housing, "width"))
    assert send(worker, value=code.lower(), gauge="").status_code == 200
    assert says in worker.page.text
    values = form_of(worker).values
    assert values["value"] == ""
    assert values["gauge"] == (code if "Gauge" in says and "chosen" in says else "")


def test_while_the_rule_is_not_in_use_it_is_only_warned_of(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    floor.do(add_gauge, code="B-9", name="Caliper", kind="caliper", unit="in")
    floor.do(withdraw_gauge, gauge="B-9", why="it was dropped")
    floor.do(switch_rule, rule="gauge_in_date", in_use=False)
    worker = signed_in("W1")
    worker.get(at(housing, "width"))
    send(worker, value="b-9", gauge="")
    assert "Gauge B-9 is chosen." in worker.page.text
    assert "was withdrawn: it was dropped" in worker.page.text
    assert form_of(worker).values["gauge"] == "B-9"
    assert send(worker, value="60.001").status_code == 302
    worker.follow()
    assert "was withdrawn: it was dropped" in worker.page.text
    assert Reading.objects.get(characteristic__code="width").gauge.code == "B-9"  # type: ignore[union-attr]
