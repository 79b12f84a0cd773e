"""A newcomer sets up an empty shop by eight questions; fields and taps are counted."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from housings.models import Housing, RouteRevision
from inspections.first_shop import open_shop
from inspections.models import Gauge
from shopqc.models import Person, Shop
from shopqc.secret import Secret
from tests.browser.hands import check_page, sign_in_at_desk, text_of
from tests.factories import SECRET
from tests.said import say

pytestmark = pytest.mark.django_db(transaction=True)

# What the shop that asked for it allows for the whole of the first hour.
MOST_FIELDS_AND_TAPS = 120


class Newcomer:
    """Hands that are counted: each field typed or chosen, each tap."""

    def __init__(self, page: Any) -> None:
        self.page, self.fields, self.taps = page, 0, 0

    def type(self, name: str, text: str) -> None:
        self.page.fill(f"[name={name}]", text)
        self.fields += 1

    def choose(self, name: str, value: str) -> None:
        """A choice of a list, a radio button or a checkbox."""
        field = self.page.locator(f"[name={name}]")
        if field.first.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            self.page.locator(f"[name={name}][value='{value}']").check()
        self.fields += 1

    def tap(self, words: str) -> None:
        """A button or a link of these words."""
        target = self.page.locator("main").get_by_role("button", name=words, exact=True)
        if not target.count():
            target = self.page.locator("main").get_by_role("link", name=words, exact=True)
        with self.page.expect_navigation():
            target.first.click()
        self.taps += 1
        check_page(self.page)

    def enter(self) -> None:
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        self.taps += 1


@pytest.fixture
def empty_shop(transactional_db: None) -> Shop:
    """A shop as `manage.py set_up` leaves it: one owner, the trade's route and plan, nothing else."""
    open_shop(
        name="Kettle Creek Axle",
        badge="badge-O1",
        owner="Olive Marsh",
        password=Secret(SECRET),
        at=timezone.now(),
    )
    return Shop.objects.get()


def test_a_newcomer_sets_up_an_empty_shop(empty_shop: Shop, site: Any, tablet: Any) -> None:
    sign_in_at_desk(tablet, site.url, "badge-O1", "/first/")
    hands = Newcomer(tablet)
    hands.fields, hands.taps = 2, 1  # badge, password, signing in
    assert text_of(tablet, "h1") == "The first hour"
    hands.tap("Go on")

    hands.type("address", "12 Mill Lane\nKettle Creek")
    hands.tap("Save and go on")
    hands.choose("paper", "a4")
    hands.tap("Save and go on")

    for name, pin, role in (
        ("Wes Tandy", "2468", None),
        ("Mara Lindqvist", "1357", None),
        ("Quinn Abara", "8642", "qc_lead"),
        ("Ines Duarte", "9753", None),
    ):
        hands.type("name", name)
        hands.type("pin", pin)
        if role:
            hands.choose("roles", role)
        hands.tap("Add")
        assert name in text_of(tablet)
    hands.tap("That is everybody for now")

    hands.choose("stations", "non_destructive_testing")
    hands.choose("stations", "clean_inside")
    hands.tap("Save and go on")

    for kind, code in (
        ("caliper", "CAL-1"),
        ("micrometer", "MIC-1"),
        ("bore_gauge", "BORE-1"),
        ("indicator", "IND-1"),
        ("tape", "TAPE-1"),
        ("pressure_gauge", "PRESS-1"),
        ("thermometer", "THERM-1"),
        ("probe", "PROBE-1"),
    ):
        hands.choose("kind", kind)
        hands.type("code", code)
        hands.enter()
        assert code in text_of(tablet)
    hands.tap("Go on")

    hands.tap("It stands as it is")
    hands.type("customer-name", "North Ridge Off-Road")
    hands.tap("Add the customer")
    hands.choose("ready", "plain")
    hands.tap("Release it to the floor")
    housing = Housing.objects.get()
    assert housing.serial_grouped.split()[0] in text_of(tablet)
    hands.tap("That is all")

    assert text_of(tablet, "h1") == "The first hour"
    assert Person.objects.filter(is_active=True).count() == 5
    assert Gauge.objects.count() == 8
    route = RouteRevision.objects.order_by("-number").first()
    assert route is not None and {"non_destructive_testing", "clean_inside"} <= {
        entry["station"] for entry in route.stations
    }
    empty_shop.refresh_from_db()
    assert (empty_shop.paper, empty_shop.address.split()[0]) == ("a4", "12")
    say(
        f"setting up an empty shop: {hands.fields} fields, {hands.taps} taps (at most {MOST_FIELDS_AND_TAPS})"
    )
    assert hands.fields + hands.taps <= MOST_FIELDS_AND_TAPS


def test_every_question_can_be_left_for_later(empty_shop: Shop, site: Any, phone: Any) -> None:
    sign_in_at_desk(phone, site.url, "badge-O1", "/first/")
    seen = []
    with phone.expect_navigation():
        phone.locator("main .list a").first.click()
    for _question in range(8):
        seen.append(text_of(phone, "h1"))
        with phone.expect_navigation():
            phone.locator("main a.button.quiet").first.click()
        check_page(phone)
    assert len(set(seen)) == 8
    assert text_of(phone, "h1") == "The first hour"
