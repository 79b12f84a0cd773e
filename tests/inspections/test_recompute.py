"""``manage.py recompute``: every stored reading comes out as stored, or the command says which does not."""

from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from inspections.models import Reading
from inspections.recomputing import same_value
from shopqc import append_only
from tests.factories import Floor


def recompute(*options: str) -> tuple[str, str]:
    """What the command prints, and what it complains of."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("recompute", *options, stdout=out, stderr=err)
    except CommandError as error:
        err.write(str(error))
    return out.getvalue(), err.getvalue()


def tamper(reading: Reading, column: str, value: str) -> None:
    with append_only.lifted(), connection.cursor() as cursor:
        cursor.execute(
            f"UPDATE inspections_reading SET {column} = %s "
            "WHERE housing_id = %s AND record_position = %s AND place = %s",
            [value, reading.housing_id, reading.record_position, reading.place],
        )


def test_a_whole_housing_comes_out_the_same(floor: Floor) -> None:
    floor.housing(until="signed")
    out, err = recompute()
    assert out == f"All readings come out the same: {Reading.objects.count()}.\n" and not err


@pytest.mark.parametrize(
    ("column", "value", "says"),
    [
        ("verdict", "fail", "it comes out as"),
        ("value", "0.00199999999998", "it comes out as"),
        ("raw", '{"nothing": "1"}', "cannot be judged any more"),
        ("engine", "99", "cannot be judged any more"),
    ],
)
def test_what_was_tampered_with_is_named(floor: Floor, column: str, value: str, says: str) -> None:
    housing = floor.housing(until="snouts")
    reading = Reading.objects.filter(characteristic__kind="runout").first()
    assert reading is not None
    tamper(reading, column, value)
    out, err = recompute()
    assert not out
    assert str(reading.pk) in err and housing.serial in err and says in err
    assert f"1 of {Reading.objects.count()} readings come out otherwise." in err


def test_one_housing_alone_is_looked_at(floor: Floor) -> None:
    first, second = floor.housing(until="snouts"), floor.housing(until="snouts")
    reading = Reading.objects.filter(housing=first).exclude(value="go").first()
    assert reading is not None
    tamper(reading, "verdict", "fail")
    assert recompute("--housing", second.serial)[1] == ""
    assert str(reading.pk) in recompute("--housing", first.serial)[1]
    assert "There is no housing NONE." in recompute("--housing", "NONE")[1]


@pytest.mark.parametrize(
    ("first", "second", "same"),
    [
        # 12 significant digits, however many places; facts of decimal notation.
        ("2.4990", "2.499", True),
        ("0.123456789012", "0.123456789012499", True),
        ("0.123456789012", "0.123456789013", False),
        ("123456789012.4", "123456789012", True),
        ("go", "go", True),
        ("go", "no_go", False),
        ("", "1", False),
    ],
)
def test_twelve_digits_are_what_counts(first: str, second: str, same: bool) -> None:
    assert same_value(first, second) is same
