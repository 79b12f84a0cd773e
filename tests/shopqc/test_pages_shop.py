"""The shop itself at the desk: words, rules, people, customers, devices, keys, the record book."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from urllib.parse import quote

import pytest
import time_machine

from shopqc.models import ApiKey, Customer, Device, LedgerEntry, Person, Shop
from shopqc.record_book import WORDS, read
from shopqc.rules import RULES, in_use
from tests.factories import AT, PIN, SECRET, Floor
from tests.inspections import welded
from tests.visitor import Visitor


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    with time_machine.travel(AT, tick=False):
        yield Floor()


@pytest.fixture
def signed_in(floor: Floor) -> Callable[[str], Visitor]:
    return lambda stamp: Visitor(floor.person(stamp))


SignedIn = Callable[[str], Visitor]
OPEN_TO = {
    "/shop/": {"O1", "Q1"},
    "/shop/customers/": {"O1", "Q1"},
    "/shop/devices/": {"O1", "Q1"},
    "/shop/people/": {"O1"},
    "/shop/people/new/": {"O1"},
    "/shop/people/by-stamp/W1/": {"O1"},
    "/shop/keys/": {"O1"},
    "/record-book/shop:shop/": {"O1", "Q1"},
    "/record-book/person:W1/": {"O1", "W1"},
    "/record-book/gauge:G-1/": {"O1", "Q1", "E1", "W1"},
}


@pytest.mark.parametrize("url", OPEN_TO)
def test_each_page_is_open_to_its_roles_only(signed_in: SignedIn, url: str) -> None:
    for stamp in ("O1", "Q1", "E1", "W1"):
        visitor = signed_in(stamp)
        assert visitor.get(url).status_code == (200 if stamp in OPEN_TO[url] else 403), stamp
        if stamp not in OPEN_TO[url]:
            assert "This page is for the role" in visitor.page.text
    assert Visitor().get(url)["Location"] == f"/sign-in/?next={quote(url)}"


@pytest.mark.parametrize("rule", sorted(["gauge_named", "temperature_recorded", "independent_signer"]))
def test_the_owner_switches_a_rule_and_back(signed_in: SignedIn, rule: str) -> None:
    owner = signed_in("O1")
    before = rule in in_use(Shop.objects.get())
    for wanted in (not before, before):
        owner.get("/shop/")
        assert str(RULES[rule].asks) in owner.page.text
        form = next(form for form in owner.page.forms if form.values.get("rule") == rule)
        owner.post("/shop/", {**form.values, "do": "switch"})
        assert (rule in in_use(Shop.objects.get())) is wanted
        owner.follow()
        assert "since 4 May 2026, 09:30 UTC, by O1" in owner.page.text


def test_a_rule_that_is_not_in_use_says_what_certificates_say(signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/shop/")
    assert "not in use yet" in owner.page.text
    assert f"Certificates say: {RULES['temperature_recorded'].when_off}" in owner.page.text


def test_the_qc_lead_sees_the_rules_and_cannot_switch_them(signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/shop/")
    assert not lead.page.has_button("do", "switch") and not lead.page.has_button("do", "change")
    assert lead.post("/shop/", {"do": "switch", "rule": "gauge_named", "in_use": "no"}).status_code == 403
    assert (
        lead.post(
            "/shop/", {"do": "change", "name": "Mine", "paper": "a4", "decision_rule": "simple"}
        ).status_code
        == 403
    )
    assert Shop.objects.get().name == "Invented Axle Works"


def test_the_owner_changes_the_shops_words(signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/shop/")
    owner.press("do", "change", name="Quarry Road Axles", address="14 Quarry Road\nMesa Flats", paper="a4")
    owner.follow()
    shop = Shop.objects.get()
    assert (shop.name, shop.paper, shop.serial_prefix) == ("Quarry Road Axles", "a4", "AX")
    assert "Quarry Road Axles" in owner.page.text


def test_the_owner_says_in_which_units_the_shop_types(signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/shop/")
    owner.press("do", "change", length_unit="mm", temperature_unit="C")
    owner.follow()
    shop = Shop.objects.get()
    assert (shop.length_unit, shop.temperature_unit, shop.paper) == ("mm", "C", "letter")
    lead = signed_in("Q1")
    lead.get("/shop/")
    assert "Lengths are typed in mm Temperatures are typed in °C" in lead.page.text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"length_unit": "ft"}, "ft is not one of the available choices"),
        ({"serial_prefix": "ax1"}, "one to three capital letters"),
        ({"name": "  "}, "This is needed."),
        ({"paper": "papyrus"}, "papyrus is not one of the available choices"),
    ],
)
def test_what_the_shop_cannot_be_is_refused_beside_its_field(
    signed_in: SignedIn, typed: dict[str, str], said: str
) -> None:
    owner = signed_in("O1")
    owner.get("/shop/")
    assert owner.press("do", "change", **typed).status_code == 422
    assert said in owner.page.text
    assert Shop.objects.get().name == "Invented Axle Works"


@pytest.mark.parametrize("data", [{"do": "switch"}, {"do": "switch", "rule": "no_such", "in_use": "yes"}])
def test_a_switch_of_nothing_is_refused(signed_in: SignedIn, data: dict[str, str]) -> None:
    assert signed_in("O1").post("/shop/", data).status_code in {404, 422}


def test_somebody_new_can_sign_in(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/shop/people/new/")
    typed = {"badge": "77", "stamp": "W7", "name": "Theo Blane", "roles": ["qc_lead"], "password": SECRET}
    owner.post(owner.url, {**owner.page.forms[1].values, **typed})
    owner.follow()
    assert "Theo Blane is added." in owner.page.text
    desk = Visitor()
    assert desk.post("/sign-in/", {"badge": "77", "password": SECRET}).status_code == 302


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"badge": "badge-W1"}, "There is somebody with the badge badge-W1 already."),
        ({"stamp": ""}, "This is needed."),
        ({"pin": "1111"}, "A PIN has 4 to 8 digits, not all the same."),
        ({"password": "short"}, "too short"),
        ({"roles": ["king"]}, "king is not one of the available choices"),
    ],
)
def test_a_person_that_cannot_be_is_refused_beside_the_field(
    signed_in: SignedIn, typed: dict[str, object], said: str
) -> None:
    owner = signed_in("O1")
    owner.get("/shop/people/new/")
    base = {"badge": "77", "stamp": "W7", "name": "Theo Blane", "roles": ["worker"], "pin": PIN}
    response = owner.post(owner.url, {**owner.page.forms[1].values, **base, **typed})
    assert response.status_code == 422
    assert said in owner.page.text and "Theo Blane" in response.content.decode()
    assert not Person.objects.filter(name="Theo Blane").exists()


def test_an_empty_secret_stays_as_it_is_and_a_new_one_counts(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    before = floor.person("Q1")
    owner.get("/shop/people/by-stamp/Q1/")
    owner.post(owner.url, {**owner.page.forms[1].values, "name": "Quinn A. Abara"})
    after = floor.person("Q1")
    assert (after.name, after.pin, after.password) == ("Quinn A. Abara", before.pin, before.password)
    owner.get("/shop/people/by-stamp/Q1/")
    owner.post(owner.url, {**owner.page.forms[1].values, "drop_pin": "on"})
    assert floor.person("Q1").pin == "" and floor.person("Q1").password == before.password


def test_a_new_password_of_ones_own_does_not_sign_one_out(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/shop/people/by-stamp/O1/")
    owner.post(owner.url, {**owner.page.forms[1].values, "password": "another-river-stone"})
    assert owner.get("/").status_code == 200
    assert (
        Visitor().post("/sign-in/", {"badge": "badge-O1", "password": "another-river-stone"}).status_code
        == 302
    )


def test_the_shop_keeps_an_owner(floor: Floor, signed_in: SignedIn) -> None:
    for person in Person.objects.exclude(stamp="O1"):
        person.roles = ["worker"]
        person.save(update_fields=["roles"])
    owner = signed_in("O1")
    owner.get("/shop/people/by-stamp/O1/")
    assert owner.post(owner.url, {**owner.page.forms[1].values, "roles": ["worker"]}).status_code == 409
    assert "Nobody else is owner." in owner.page.text


def test_customers_are_added_once(signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/shop/customers/")
    typed = {**lead.page.forms[1].values, "code": "juniper", "name": "Juniper Trail Trucks"}
    lead.post(lead.url, typed)
    lead.post("/shop/customers/", typed)
    assert Customer.objects.filter(code="juniper").count() == 1
    lead.get("/shop/customers/")
    assert "Juniper Trail Trucks" in lead.page.text
    again = {**lead.page.forms[1].values, "code": "juniper", "name": "Another"}
    assert lead.post("/shop/customers/", again).status_code == 422
    assert "There is a customer juniper already." in lead.page.text


def test_a_device_form_sent_twice_registers_one_device(signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    page = lead.get("/shop/devices/")
    lead.press("do", "register", name="Bench 3")
    token = lead.client.cookies["device"].value
    lead._keep("/shop/devices/", page)
    lead.press("do", "register", name="Bench 3")
    assert lead.client.cookies["device"].value == token
    assert Device.objects.count() == 1


def test_a_key_is_shown_once_and_its_digest_kept(signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    page = owner.get("/shop/keys/")
    response = owner.press(
        "do", "make", name="Order system", scopes=["orders"], customer="north", expires_on="2027-01-31"
    )
    key = ApiKey.objects.get()
    shown = next(word for word in owner.page.text.split() if word.startswith(f"sq_{key.prefix}_"))
    assert len(shown) > 40 and "no-store" in response["Cache-Control"]
    assert key.scopes == ["orders"] and key.customer is not None and key.customer.code == "north"
    owner.get("/shop/keys/")
    assert shown not in owner.page.text and "Sees North Off-Road alone." in owner.page.text
    owner._keep("/shop/keys/", page)
    owner.press(
        "do", "make", name="Order system", scopes=["orders"], customer="north", expires_on="2027-01-31"
    )
    owner.follow()
    assert "This key was made already" in owner.page.text
    assert ApiKey.objects.count() == 1
    owner.press("do", "revoke")
    key.refresh_from_db()
    assert key.revoked_at is not None


def test_the_record_book_reads_as_sentences(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="signed")
    worker = signed_in("W1")
    worker.get(f"/record-book/{housing.chain}/")
    text = worker.page.text
    assert "Signed off with certificate C-00001; its facts are frozen." in text
    assert "Left Final inspection." in text and "4 May 2026, 09:30 UTC" in text and "Q1" in text
    worker.get(f"/record-book/{housing.chain}/?page=99")
    assert f"Released to the floor for order {housing.order.number}" in worker.page.text


def test_every_line_that_a_shop_wrote_has_words(floor: Floor, signed_in: SignedIn) -> None:
    floor.housing(until="signed")
    signed_in("O1").get("/record-book/shop:shop/")
    for entry in LedgerEntry.objects.all():
        line = read(entry)
        operation = entry.line.partition('"operation":"')[2].partition('"')[0]
        assert operation in WORDS, operation
        assert not line.sentence.startswith(operation.replace("_", " ") + ":"), line


def test_the_record_book_of_a_heat_is_open_to_the_shop(floor: Floor, signed_in: SignedIn) -> None:
    welded.stocked(floor)
    for stamp in ("W1", "Q1", "E1", "O1"):
        visitor = signed_in(stamp)
        assert visitor.get("/record-book/heat:T-4130/").status_code == 200
        assert "Heat T-4130" in visitor.page.text
        assert "Received as steel, 4130 normalised." in visitor.page.text


def test_every_line_of_welding_has_words(floor: Floor, signed_in: SignedIn) -> None:
    welded.stocked(floor)
    housing = welded.welded(floor, until="measured")
    signed_in("Q1").get(f"/record-book/{housing.chain}/")
    said = [read(entry).sentence for entry in LedgerEntry.objects.filter(chain=housing.chain)]
    for entry in LedgerEntry.objects.all():
        operation = json.loads(entry.line)["operation"]
        assert operation in WORDS, operation
        assert not read(entry).sentence.startswith(operation.replace("_", " ") + ":"), operation
    assert any("Left snout to tube" in sentence for sentence in said)


@pytest.mark.parametrize("chain", ["housing:NONE", "nothing:x", "shop", "person:", "customer:north"])
def test_a_book_that_is_none_is_not_found(signed_in: SignedIn, chain: str) -> None:
    assert signed_in("O1").get(f"/record-book/{chain}/").status_code == 404


@pytest.mark.parametrize("url", ["/nothing/here/", "/shop/nothing/"])
def test_an_address_that_is_none_says_so_in_words(signed_in: SignedIn, url: str) -> None:
    worker = signed_in("W1")
    assert worker.get(url).status_code == 404
    assert "There is nothing at this address" in worker.page.text


def test_health_answers_a_stranger(db: None) -> None:
    assert Visitor().get("/health/").status_code == 200


@pytest.mark.parametrize("url", ["/travelers/", "/certificates/C-00001/revoke/"])
def test_an_address_that_only_takes_a_form_says_so_in_words(signed_in: SignedIn, url: str) -> None:
    worker = signed_in("Q1")
    answer = worker.get(url)
    assert answer.status_code == 405
    assert answer["Allow"] == "POST"  # RFC 9110, section 15.5.6
    assert "There is nothing to read at this address" in worker.page.text
