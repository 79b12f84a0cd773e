"""Signing in at a device and at a desk, and out again."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine

from shopqc.models import Device, LedgerEntry
from tests.factories import AT, PIN, SECRET, Floor
from tests.visitor import Visitor


@pytest.fixture
def clock() -> Iterator[Any]:
    with time_machine.travel(AT, tick=False) as traveller:
        yield traveller


@pytest.fixture
def floor(db: None, clock: Any) -> Floor:
    return Floor()


def at_device(floor: Floor) -> Visitor:
    """A browser that somebody of the desk has registered."""
    lead = Visitor(floor.person("Q1"))
    lead.get("/shop/devices/")
    lead.press("do", "register", name="Bench 3")
    lead.follow()
    lead.post("/sign-out/", {})
    return lead


def sign_in(visitor: Visitor, badge: str, following: str = "", **secret: str) -> Any:
    visitor.get(f"/sign-in/?next={following}")
    form = visitor.page.forms[0]
    return visitor.post("/sign-in/", {**form.values, "badge": badge, **secret})


def is_in(visitor: Visitor) -> bool:
    return bool(visitor.client.get("/").status_code == 200)


def test_a_badge_and_a_pin_open_the_shop_at_a_registered_device(floor: Floor) -> None:
    tablet = at_device(floor)
    assert sign_in(tablet, "badge-W1", pin=PIN)["Location"] == "/"
    tablet.get("/")
    assert "Wes Tandy" in tablet.page.text


def test_a_pin_opens_nothing_at_a_device_that_is_not_registered(floor: Floor) -> None:
    phone = Visitor()
    response = sign_in(phone, "badge-W1", pin=PIN)
    assert response.status_code == 409
    assert "This device is not registered, so a PIN does not work here." in phone.page.text
    assert not is_in(phone)


def test_a_pin_opens_nothing_at_a_device_that_was_revoked(floor: Floor) -> None:
    tablet = at_device(floor)
    lead = Visitor(floor.person("Q1"))
    lead.get("/shop/devices/")
    lead.press("do", "revoke")
    assert sign_in(tablet, "badge-W1", pin=PIN).status_code == 409


def test_a_token_that_was_made_up_is_no_device(floor: Floor) -> None:
    tablet = at_device(floor)
    tablet.client.cookies["device"] = "guessed:token"
    assert sign_in(tablet, "badge-W1", pin=PIN).status_code == 409


def test_no_script_can_read_the_token_and_only_its_digest_is_kept(floor: Floor) -> None:
    cookie = at_device(floor).client.cookies["device"]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
    token = cookie.value.partition(":")[0]
    assert token not in str(Device.objects.values_list()) + str(LedgerEntry.objects.values_list())


def test_a_password_opens_the_shop_at_a_desk_for_desk_roles_only(floor: Floor) -> None:
    assert sign_in(Visitor(), "badge-Q1", password=SECRET)["Location"] == "/"
    assert sign_in(Visitor(), "badge-W1", password=SECRET).status_code == 403


def test_a_wrong_pin_is_counted_and_the_wait_is_said_in_words(floor: Floor, clock: Any) -> None:
    tablet = at_device(floor)
    for _try in range(2):
        assert sign_in(tablet, "badge-W1", pin="9999").status_code == 403
        assert "Wait" not in tablet.page.text
    sign_in(tablet, "badge-W1", pin="9999")
    assert "Wait 5 seconds before the next try." in tablet.page.text
    assert tablet.page.forms[0].values["badge"] == "badge-W1"
    response = sign_in(tablet, "badge-W1", pin=PIN)
    assert (response.status_code, response["Retry-After"]) == (429, "5")
    assert "Wait 5 seconds" in tablet.page.text
    clock.shift(datetime.timedelta(seconds=6))
    assert sign_in(tablet, "badge-W1", pin=PIN).status_code == 302


def test_one_badge_that_waits_keeps_nobody_else_out(floor: Floor) -> None:
    tablet = at_device(floor)
    for _try in range(4):
        sign_in(tablet, "badge-W1", pin="9999")
    assert sign_in(tablet, "badge-M1", pin=PIN).status_code == 302


def test_a_wrong_secret_is_not_shown_again(floor: Floor) -> None:
    desk = Visitor()
    response = sign_in(desk, "badge-Q1", password="not the right one")
    assert "not the right one" not in response.content.decode()
    assert "This password does not go with this badge" in desk.page.text


@pytest.mark.parametrize(
    "typed",
    [
        {"badge": ""},
        {"badge": "badge-Q1"},
        {"badge": "badge-Q1", "pin": "1", "password": "2"},
        {"badge": "x" * 999},
    ],
)
def test_what_cannot_be_a_sign_in_is_said(floor: Floor, typed: dict[str, str]) -> None:
    desk = Visitor()
    assert desk.post("/sign-in/", typed).status_code == 422
    assert "what you typed is still here" in desk.page.text


def test_the_session_gets_a_new_key_when_another_person_takes_over(floor: Floor) -> None:
    tablet = at_device(floor)
    sign_in(tablet, "badge-W1", pin=PIN)
    first = tablet.client.cookies["sessionid"].value
    sign_in(tablet, "badge-M1", pin=PIN)
    assert tablet.client.cookies["sessionid"].value != first
    tablet.get("/")
    assert "Mara Lindqvist" in tablet.page.text
    tablet.client.cookies["sessionid"] = first
    assert not is_in(tablet)


def test_signing_out_takes_a_button_and_ends_it(floor: Floor) -> None:
    desk = Visitor(floor.person("Q1"))
    desk.get("/sign-out/")
    assert is_in(desk)
    desk.post("/sign-out/", {})
    assert not is_in(desk)


def test_a_person_who_does_not_work_here_any_more_is_out_at_once(floor: Floor) -> None:
    lead = Visitor(floor.person("Q1"))
    owner = Visitor(floor.person("O1"))
    owner.get("/shop/people/by-stamp/Q1/")
    form = owner.page.forms[1]
    owner.post(owner.url, {name: value for name, value in form.values.items() if name != "is_active"})
    assert not is_in(lead)
    assert sign_in(Visitor(), "badge-Q1", password=SECRET).status_code == 403


def test_after_signing_in_it_goes_on_to_where_one_wanted(floor: Floor) -> None:
    housing = floor.housing()
    assert sign_in(Visitor(), "badge-Q1", f"/h/{housing.serial}/", password=SECRET)["Location"] == (
        f"/h/{housing.serial}/"
    )


@pytest.mark.parametrize(
    "address",
    [
        "https://elsewhere.example/",
        "//elsewhere.example/",
        "javascript:alert(1)",
        "/\\elsewhere.example",
        "http:///x",
    ],
)
def test_it_never_goes_on_to_somebody_elses_address(floor: Floor, address: str) -> None:
    assert sign_in(Visitor(), "badge-Q1", address, password=SECRET)["Location"] == "/"


def test_a_shop_that_is_not_set_up_says_how(db: None) -> None:
    visitor = Visitor()
    assert visitor.get("/sign-in/").status_code == 409
    assert "not set up yet" in visitor.page.text


def test_pages_forbid_frames_foreign_scripts_and_inline_ones(floor: Floor) -> None:
    policy = Visitor().get("/sign-in/")["Content-Security-Policy"]
    assert "default-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy


def test_a_form_without_our_token_is_refused_in_words(floor: Floor) -> None:
    from django.test import Client

    response = Client(enforce_csrf_checks=True).post("/sign-in/", {"badge": "badge-Q1", "password": SECRET})
    assert response.status_code == 403
    assert "This page was open for too long" in response.content.decode()
