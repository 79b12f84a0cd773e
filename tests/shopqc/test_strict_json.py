"""One strict reading of JSON (RFC 8259 leaves these open; sections 4, 8 and 9)."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopqc.refusals import Refused
from shopqc.strict_json import DEEPEST, LARGEST, parse

BROKEN = {
    "cut off": b'{"a": 1',
    "empty": b"",
    "trailing comma": b'{"a": 1,}',
    "two values": b"{} {}",
    "single quotes": b"{'a': 1}",
    "NaN": b'{"a": NaN}',
    "Infinity": b'{"a": -Infinity}',
    "1e400": b'{"a": 1e400}',
    "tiny": b'{"a": 1e-400}',
    "a million digits": b'{"a": ' + b"9" * 100_000 + b"}",
    "double name": b'{"a": 1, "a": 2}',
    "double name, escaped": b'{"a": 1, "\\u0061": 2}',
    "NUL": b'{"a": "x\\u0000y"}',
    "NUL in a name": b'{"x\\u0000": 1}',
    "lone surrogate": b'{"a": "\\ud83d"}',
    "lone surrogate in a name": b'{"\\udc00": 1}',
    "not UTF-8": b'{"a": "\xff"}',
    "UTF-16": '{"a": 1}'.encode("utf-16"),
    "byte order mark": b"\xef\xbb\xbf{}",
    "control character": b'{"a": "x\ny"}',
    "too deep": b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1),
    "far too deep": b"[" * 100_000,
    "deep objects": b'{"a":' * 5000 + b"1" + b"}" * 5000,
}


@pytest.mark.parametrize("body", BROKEN.values(), ids=BROKEN.keys())
def test_it_refuses_what_is_not_clear(body: bytes) -> None:
    with pytest.raises(Refused) as refused:
        parse(body)
    (reason,) = refused.value.reasons
    assert (reason.code, refused.value.status) == ("json_broken", 400)
    assert reason.sentence.startswith("The body is not JSON: ")


def test_it_refuses_too_much_before_reading_it() -> None:
    with pytest.raises(Refused) as refused:
        parse(b'"' + b"x" * LARGEST + b'"')
    assert refused.value.status == 413


def test_it_keeps_numbers_as_they_were_typed() -> None:
    value = parse(b'{"a": 0.250, "b": 3}')
    assert value == {"a": Decimal("0.250"), "b": 3}
    assert str(value["a"]) == "0.250"


def test_brackets_inside_texts_are_no_depth() -> None:
    assert parse(json.dumps({"a": "[" * 500 + '\\"{'}).encode()) == {"a": "[" * 500 + '\\"{'}


plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**20), 10**20)
    | st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(min_codepoint=32, max_codepoint=500)), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(plain)
def test_it_reads_what_other_programs_write(value: object) -> None:
    text = json.dumps(value)
    try:
        read = parse(text.encode())
    except Refused as refused:
        assert text.count("[") + text.count("{") > DEEPEST, refused.sentences
        return
    assert read == json.loads(text)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    try:
        parse(body)
    except Refused as refused:
        assert refused.status == 400
