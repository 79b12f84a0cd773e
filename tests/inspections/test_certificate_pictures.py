"""The certificate draws what was measured, out of its frozen facts alone, whatever their format."""

from __future__ import annotations

import io
import json
from copy import deepcopy
from typing import Any

import pytest
from pypdf import PdfReader

from inspections.certificate import render
from inspections.certificate.facts import FORMAT, from_axis, rounded_up
from inspections.certificate.pictures import with_pictures
from inspections.models import Characteristic, SignOff
from tests.factories import LINKS_SPEC, Floor
from tests.pictures.looked_at import must_be_sound

NEW = ("kind", "parameters", "detail", "lower", "upper", "uncertainty_shown", "setup", "simulated")


@pytest.fixture
def facts(floor: Floor) -> dict[str, Any]:
    floor.housing(until="signed", spec=LINKS_SPEC)
    frozen: dict[str, Any] = json.loads(SignOff.objects.get().facts)
    return frozen


def text_of(made: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages).split())


def test_each_group_has_the_pictures_of_what_was_measured_in_it(facts: dict[str, Any]) -> None:
    assert facts["format"] == FORMAT == 3
    drawn = with_pictures(facts)
    names = {group["part"]: [shown.name for shown in group["pictures"]] for group in drawn["results"]}
    assert {"Flatness of the face", "Distance of the face"} <= set(names["face"])
    assert len(names["holes"]) == 1
    assert {"Camber", "Toe"} <= set(names["ends"])
    assert {"Runout of the left tube", "Runout of the right tube"} <= set(names["tubes"])
    for group in drawn["results"]:
        for shown in group["pictures"]:
            must_be_sound(shown.picture)
    must_be_sound(drawn["map"])


def test_pictures_are_on_the_paper_in_letter_and_a4(facts: dict[str, Any]) -> None:
    for paper in ("letter", "a4"):
        text = text_of(render.render({**facts, "shop": {**facts["shop"], "paper": paper}}))
        assert "Hatched is high, blank is low" in text
        assert "on the face" in text


def test_the_same_facts_make_the_same_bytes(facts: dict[str, Any]) -> None:
    assert render.render(facts) == render.render(deepcopy(facts))


def test_facts_of_the_first_format_still_print_without_pictures(facts: dict[str, Any]) -> None:
    old = deepcopy(facts)
    old["format"] = 1
    del old["housing"]["shape"]
    for group in old["results"]:
        for row in group["rows"]:
            for name in NEW:
                row.pop(name, None)
    assert not any(group["pictures"] for group in with_pictures(old)["results"])
    text = text_of(render.render(old))
    assert facts["number"] in text
    assert "Hatched" not in text


def test_holes_measured_one_by_one_are_drawn_as_their_pattern() -> None:
    rows = [
        {
            "code": f"hole_{number}",
            "kind": "hole_center",
            "part": "holes",
            "unit": "in",
            "name": f"Hole {number}",
            "parameters": {"nominal_x": x, "nominal_y": y},
            "raw": {"x": x, "y": y},
            "detail": {},
            "lower": None,
            "upper": "0.015",
            "value": "0",
            "verdict": "pass",
            "state": "pass",
        }
        for number, (x, y) in enumerate([("4", "0"), ("0", "4"), ("-4", "0")], start=1)
    ]
    facts = {"housing": {}, "results": [{"part": "holes", "rows": rows}]}
    (shown,) = with_pictures(facts)["results"][0]["pictures"]
    assert shown.picture.alt.startswith("3 holes")


def test_a_value_is_from_the_axis_only_where_it_was_computed_or_held_so() -> None:
    def asked(kind: str, datum: str = "A-B", unit: str = "in") -> Characteristic:
        return Characteristic(kind=kind, measured_from=datum, unit=unit)

    assert from_axis(asked("face_to_axis"), {}) == "A-B"
    assert from_axis(asked("runout"), {}) is False
    assert from_axis(asked("runout"), {"support": "centers"}) == "A-B"
    assert from_axis(asked("runout"), {"support": "v_blocks", "section": "in_v_block"}) is False
    assert from_axis(asked("size"), {"support": "table"}) is False
    assert from_axis(asked("size", datum=""), {}) is None
    assert from_axis(asked("face_points", datum=""), {}) is None
    assert from_axis(asked("runout", datum=""), {}) is False


def test_an_uncertainty_is_rounded_up() -> None:
    # GUM (JCGM 100:2008), 7.2.6: two digits, and up rather than down where it matters.
    assert rounded_up("0.00012300001") == "0.00013"
    assert rounded_up("0.0001") == "0.0001"
    assert rounded_up("1234") == "1300"
    assert rounded_up("") == rounded_up("0") == ""


def test_how_it_was_held_and_copied_stands_on_the_paper(facts: dict[str, Any]) -> None:
    row = facts["results"][0]["rows"][0]
    row["setup"] = ["held in V-blocks of 90°", "air at 68 °F"]
    row["simulated"], row["measured_by"], row["uncertainty_shown"] = True, "W9", "0.00042"
    text = text_of(render.render(facts))
    assert "Held in V-blocks of 90°, air at 68 °F." in text
    assert "From a simulated gauge, not from this housing." in text
    assert "stamp W9, copied from paper by" in text
    assert "± 0.00042" in text
