"""The traveler: one sheet, the right words, a code that leads to the housing."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from housings import traveler
from housings.gate import Situation
from housings.models import Housing
from housings.panels import asks_of, remarks_on
from housings.paper_pack import cover_of
from inspections.operations.nonconformances import dispose
from shopqc.rules import the_shop
from tests.factories import AT, LINKS_SPEC, Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor

# Letter: ANSI/ASME Y14.1 size A, 8.5 × 11 in; A4: ISO 216, 210 × 297 mm. In points of 1/72 in.
PAPER = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


def test_anybody_of_the_shop_can_print_it_and_nobody_else(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing()
    url = f"/h/{housing.serial}/traveler.pdf"
    response = signed_in("W1").get(url)
    assert response["Content-Type"] == "application/pdf"
    assert f"traveler-{housing.serial}.pdf" in response["Content-Disposition"]
    assert response.content.startswith(b"%PDF")
    assert Visitor().get(url).status_code == 302


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_is_one_sheet_of_the_shops_paper_with_every_station(floor: Floor, paper: str) -> None:
    housing = floor.housing(spec=LINKS_SPEC)
    shop = the_shop()
    shop.paper = paper
    reader = PdfReader(io.BytesIO(traveler.render(housing, shop, AT)))
    assert len(reader.pages) == 1
    size = tuple(float(length) for length in reader.pages[0].mediabox[2:])
    assert size == pytest.approx(PAPER[paper], abs=0.5)
    text = " ".join(reader.pages[0].extract_text().split())
    for visit in housing.visits.all():
        assert visit.at.name in text, visit
    assert housing.order.number in text and "North Off-Road" in text and "72 in" in text


def test_its_code_holds_the_floors_address_in_at_most_100_characters(floor: Floor) -> None:
    housing = floor.housing()
    address = traveler.floor_address(housing.serial)
    assert address == f"http://127.0.0.1:8000/h/{housing.serial}"
    assert len(address) <= 100


def test_an_address_too_long_for_a_small_code_is_not_printed(settings: object) -> None:
    settings.FLOOR_URL = "https://" + "q" * 100  # type: ignore[attr-defined]
    with pytest.raises(ValueError, match="more than 100 characters"):
        traveler.floor_address("AX000001MN")


def pages(content: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(content)).pages]


def rework(floor: Floor) -> Housing:
    """A housing that failed at the end and goes back to the mill and to the armor."""
    housing = floor.housing(until="final_inspection", spec=LINKS_SPEC)
    width = floor.characteristic(housing, "width")
    floor.record(housing, floor.reading(housing, width, "final_inspection", raw={"value": "73"}))
    back = ["face_and_drill", "armor"]
    decided = {"nonconformance": 1, "decision": "rework", "reason": "cut again", "stations": back}
    floor.do(dispose, by="Q1", housing=housing.serial, **decided)
    return housing


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_with_rework_it_stays_one_page_or_becomes_two_clean_ones(floor: Floor, size: str) -> None:
    housing = rework(floor)
    shop = the_shop()
    shop.paper = size
    found = pages(traveler.render(housing, shop, AT))
    assert len(found) <= 2
    for number, text in enumerate(found, start=1):
        assert housing.serial_grouped in text
        if len(found) > 1:
            assert f"{number} / {len(found)}" in text and "Stamp" in text
    whole = " ".join(found)
    assert whole.count("rework") == 2 and whole.count("measure again") == 2
    assert whole.count("never says that a housing is safe") == 1
    for visit in housing.visits.all():
        assert visit.at.name in whole


def test_what_is_done_stands_on_it_with_stamp_day_and_reading(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    (text,) = pages(traveler.render(housing, the_shop(), AT))
    assert text.count("W1") == 2 and "here since 4 May 09:30" in text
    # The middle of the gap's limits of the default plan, 0.063 to 0.125, as the factory reads it.
    assert "0.094" in text


def test_the_measuring_sheet_has_a_table_for_each_measuring_of_many_figures(floor: Floor) -> None:
    housing = floor.housing()
    first, *sheets = pages(traveler.render(housing, the_shop(), AT, sheets=True))
    assert first.startswith("Traveler") and sheets
    text = " ".join(sheets)
    for said in (
        "Points of the face",
        "Stations along the bar",
        "Center of each hole",
        "Bores along",
        "Minutes",
    ):
        assert said in text, said
    assert text.count("Indicator, by the hours of the clock") == 8  # both journals twice, both tubes twice
    for number, sheet in enumerate(sheets, start=1):
        assert f"{number} / {len(sheets)}" in sheet and housing.serial_grouped in sheet


def test_what_is_measured_already_has_no_table_any_more(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    text = " ".join(pages(traveler.render(housing, the_shop(), AT, sheets=True))[1:])
    assert "Final inspection" in text and "Face and drill" not in text


def test_it_is_read_with_as_many_queries_however_much_was_measured(
    floor: Floor, django_assert_max_num_queries: Any
) -> None:
    early, late = floor.housing(), floor.housing(until="final_inspection")
    for housing in (early, late):
        with django_assert_max_num_queries(16):
            traveler.sheet_of(Situation(housing), asks_of(housing), the_shop(), AT)


def test_what_waits_for_a_decision_stands_in_the_pack_until_it_is_decided(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    width = floor.characteristic(housing, "width")
    floor.record(housing, floor.reading(housing, width, "final_inspection", raw={"value": "73"}))
    (said,) = remarks_on([housing.pk])[housing.pk]
    assert said == "Nonconformance 1 waits for a decision: Width over the ends: 73 in"
    (row,) = cover_of(the_shop(), AT, [])["rows"]
    assert row["remarks"] == [said] and row["where"] == "at Final inspection" and row["next"] == "nothing"
    decided = {"nonconformance": 1, "decision": "rework", "reason": "again", "stations": ["face_and_drill"]}
    floor.do(dispose, by="Q1", housing=housing.serial, **decided)
    (row,) = cover_of(the_shop(), AT, [])["rows"]
    assert row["remarks"] == () and row["next"] == "Face and drill"
