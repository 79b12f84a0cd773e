"""The harness itself: threads of a test really overlap, and locks really keep them apart."""

import pytest
from django.db import connection, transaction
from django.db.models import F

from shopqc.models import Counter
from tests.harness.overlap import Meeting, Pause
from tests.harness.threads import at_once, start

WRITES = 'UPDATE "shopqc_counter"'


def add_one_carelessly():
    row = Counter.objects.get(series="a")
    row.value += 1
    row.save()


def add_one_under_a_lock():
    with transaction.atomic():
        row = Counter.objects.select_for_update().get(series="a")
        row.value += 1
        row.save()


@pytest.mark.django_db(transaction=True)
def test_a_meeting_brings_a_lost_write_to_light():
    Counter.objects.create(series="a")
    meeting = Meeting(before=WRITES)
    outcomes = at_once(add_one_carelessly, add_one_carelessly, wrapped=[meeting])
    assert [outcome.error for outcome in outcomes] == [None, None]
    assert meeting.met
    assert Counter.objects.get(series="a").value == 1


@pytest.mark.django_db(transaction=True)
def test_a_lock_keeps_them_from_meeting():
    Counter.objects.create(series="a")
    meeting = Meeting(before=WRITES)
    outcomes = at_once(add_one_under_a_lock, add_one_under_a_lock, wrapped=[meeting])
    assert [outcome.error for outcome in outcomes] == [None, None]
    assert not meeting.met
    assert Counter.objects.get(series="a").value == 2


@pytest.mark.django_db(transaction=True)
def test_a_paused_thread_goes_on_when_told():
    Counter.objects.create(series="a")
    pause = Pause(before=WRITES)
    running = start(add_one_carelessly, wrapped=[pause])
    pause.wait_until_reached()
    Counter.objects.filter(series="a").update(value=F("value") + 5)
    pause.go()
    assert running.outcomes()[0].ok
    assert Counter.objects.get(series="a").value == 1


@pytest.mark.django_db(transaction=True)
def test_what_a_thread_raises_is_its_outcome():
    def fails():
        raise LookupError("no such housing")

    assert isinstance(at_once(fails)[0].error, LookupError)


@pytest.mark.django_db
def test_it_refuses_a_test_whose_rows_no_thread_could_see():
    with pytest.raises(RuntimeError, match="transaction=True"):
        at_once(add_one_carelessly)


@pytest.mark.django_db(transaction=True)
def test_each_database_is_the_one_the_shop_uses():
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA journal_mode")
            assert cursor.fetchone() == ("wal",)
        else:
            cursor.execute("SHOW default_transaction_isolation")
            assert cursor.fetchone() == ("read committed",)
