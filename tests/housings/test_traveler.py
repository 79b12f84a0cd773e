"""The traveler: one sheet, the right words, a code that leads to the housing."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from housings import traveler
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
