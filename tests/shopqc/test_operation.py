"""The one shape of a write."""

from __future__ import annotations

import datetime
import importlib
import pkgutil

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

import housings.operations
import inspections.operations
import shopqc.operations
from housings.operations.orders import cancel_housing
from shopqc import ledger
from shopqc.models import Answered, Counter, Customer, LedgerEntry, Person, Shop
from shopqc.operation import OPERATIONS, Rows, Run, counter, operation
from shopqc.operations.people import add_person
from shopqc.operations.shop import add_customer, change_shop
from shopqc.people import MAY, PROGRAM, ROLES, Actor, actor_of_key
from shopqc.refusals import Refused
from shopqc.secret import Secret
from tests.factories import Floor
from tests.shopqc.conftest import AT, Do

WORKER = Actor(owner="person:1", stamp="W1", roles=frozenset({"worker"}), person=1)
OWNER = Actor(owner="person:2", stamp="O1", roles=frozenset({"owner"}), person=2)


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [reason.code for reason in refused.value.reasons]


def test_it_answers_the_same_request_with_the_same_answer_and_writes_once(shop: Shop, do: Do) -> None:
    first = do(add_customer, code="north", name="North", key="one")
    lines = LedgerEntry.objects.count()
    assert do(add_customer, code="north", name="North", key="one") == first
    assert (Customer.objects.count(), LedgerEntry.objects.count()) == (1, lines)


def test_it_refuses_another_request_under_the_same_key(shop: Shop, do: Do) -> None:
    do(add_customer, code="north", name="North", key="one")
    with pytest.raises(Refused) as refused:
        do(add_customer, code="basin", name="Basin", key="one")
    assert codes(refused) == ["key_reused"]
    assert refused.value.status == 422


def test_it_keeps_keys_of_different_owners_apart(shop: Shop, do: Do) -> None:
    do(add_customer, code="north", name="North", key="one")
    do(add_customer, code="basin", name="Basin", key="one", by=OWNER)
    assert set(Customer.objects.values_list("code", flat=True)) == {"north", "basin"}


def test_a_refusal_frees_the_key_and_leaves_nothing(shop: Shop, do: Do) -> None:
    before = LedgerEntry.objects.count()
    with pytest.raises(Refused):
        do(add_customer, code="", name="North", key="one")
    assert LedgerEntry.objects.count() == before
    assert not Answered.objects.filter(key="one").exists()
    assert do(add_customer, code="north", name="North", key="one") == {"customer": "north"}


def test_it_refuses_a_role_that_may_not_and_says_which_may(shop: Shop, do: Do) -> None:
    with pytest.raises(Refused) as refused:
        do(add_customer, code="north", name="North", by=WORKER)
    assert codes(refused) == ["not_allowed"]
    assert "QC lead or owner" in refused.value.sentences[0]
    assert refused.value.status == 403


def test_a_key_without_the_scope_is_refused_even_if_its_person_may(shop: Shop, do: Do) -> None:
    key = Actor(owner="key:a", stamp="O1", roles=frozenset({"owner"}), scopes=frozenset({"orders"}), person=2)
    with pytest.raises(Refused) as refused:
        do(add_customer, code="north", name="North", by=key)
    assert codes(refused) == ["key_without_scope"]


def test_it_refuses_an_empty_or_endless_key(shop: Shop, do: Do) -> None:
    for key in ("", "k" * 101):
        with pytest.raises(Refused) as refused:
            do(add_customer, code="north", name="North", key=key)
        assert codes(refused) == ["key_missing"]


def test_it_needs_a_moment_with_a_zone(shop: Shop) -> None:
    naive = AT.replace(tzinfo=None)
    with pytest.raises(ValueError, match="time zone"):
        add_customer(by=PROGRAM, at=naive, key="one", code="north", name="North")


def test_it_says_which_input_named_a_row_that_is_not_there(shop: Shop, do: Do) -> None:
    @operation("change_shop", locks=lambda **_: [Rows(Person, "stamp", ["nobody"], "/stamp")])
    def needs_somebody(run: Run) -> dict[str, object]:
        raise AssertionError("must not run")

    with pytest.raises(Refused) as refused:
        do(needs_somebody)
    (reason,) = refused.value.reasons
    assert (reason.code, reason.field, refused.value.status) == ("not_found", "/stamp", 404)
    OPERATIONS["change_shop"] = change_shop


def test_a_line_without_the_lock_of_its_chain_is_a_mistake_of_the_program(shop: Shop, do: Do) -> None:
    @operation("change_shop")
    def forgets_its_lock(run: Run) -> dict[str, object]:
        run.write(Shop.objects.get(), changed=True)
        return {}

    with pytest.raises(RuntimeError, match="without its lock"):
        do(forgets_its_lock)
    OPERATIONS["change_shop"] = change_shop


def test_a_running_number_has_no_gap_after_a_refusal(shop: Shop, do: Do) -> None:
    @operation("change_shop", locks=lambda **_: [counter("test")])
    def numbered(run: Run, *, fail: bool) -> dict[str, object]:
        number = run.next_number("test")
        if fail:
            raise RuntimeError("as planned")
        return {"number": number}

    assert do(numbered, fail=False) == {"number": 1}
    with pytest.raises(RuntimeError, match="as planned"):
        do(numbered, fail=True)
    assert do(numbered, fail=False) == {"number": 2}
    assert Counter.objects.get(series="test").value == 2
    OPERATIONS["change_shop"] = change_shop


def test_a_secret_stands_nowhere_in_what_is_kept(shop: Shop, do: Do) -> None:
    do(add_person, badge="1", name="Ann", stamp="A1", roles=["owner"], pin=Secret("80613"), key="p")
    kept = "".join(LedgerEntry.objects.values_list("line", flat=True)) + str(
        list(Answered.objects.values_list("answer", "request_digest"))
    )
    person = Person.objects.get()
    assert "80613" not in kept
    assert person.pin and "80613" not in person.pin
    assert repr(Secret("80613")) == "Secret(…)"


def test_every_operation_has_a_row_in_the_table_of_rights_and_every_row_an_operation() -> None:
    for package in (shopqc.operations, housings.operations, inspections.operations):
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"{package.__name__}.{module.name}")
    assert set(OPERATIONS) == set(MAY)


def test_every_role_and_scope_of_the_table_exists() -> None:
    assert {role for right in MAY.values() for role in right.roles} <= set(ROLES)


def test_the_record_book_says_who_did_what_when(shop: Shop, do: Do) -> None:
    later = AT + datetime.timedelta(hours=1)
    do(add_customer, code="north", name="North", by=OWNER, at=later)
    line = LedgerEntry.objects.filter(chain="shop:shop").order_by("position").last()
    assert line is not None
    for part in ('"operation":"add_customer"', '"stamp":"O1"', '"at":"2026-05-04T10:30:00.000000Z"'):
        assert part in line.line
    assert ledger.verify().faults == ()


def test_claiming_costs_one_query(shop: Shop, do: Do) -> None:
    with CaptureQueriesContext(connection) as queries:
        do(add_customer, code="north", name="North")
    claims = [q for q in queries if "shopqc_answered" in q["sql"] and "INSERT" in q["sql"]]
    looks = [q for q in queries if "shopqc_answered" in q["sql"] and q["sql"].startswith("SELECT")]
    assert (len(claims), len(looks)) == (1, 0)


def test_a_key_for_one_customer_does_not_find_what_is_anothers(db: None) -> None:
    floor = Floor()
    housing = floor.housing(customer="north")
    basin = floor.api_key("orders", customer="basin")[1]
    with pytest.raises(Refused) as refused:
        floor.do(cancel_housing, by=actor_of_key(basin), housing=housing.serial, why="Not ours.")
    assert (codes(refused), refused.value.status) == (["not_found"], 404)
    housing.refresh_from_db()
    assert housing.state == "released"
