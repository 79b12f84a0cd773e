"""Serials and their check characters, against published strings and against the definition itself."""

from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.serials import (
    SerialProblem,
    check_characters,
    grouped,
    is_valid,
    parse,
    serial_from,
    with_check,
)
from tests.engineering.unhurried import unhurried
from tests.published import Source, published

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

# The standard's own example, read in public implementations that quote the section, not in the standard.
STANDARD = Source("ISO/IEC 7064", "2003", "8.2, worked example")
CHECK_DIGITS_NET = Source(
    "CheckDigits.Net, public tests", "repository state 2025", "Iso7064Mod1271_36 validate cases"
)
GB_UTIL = Source("d-band/gb-util, public tests", "repository state 2025", "ISO_7064.ts")
CDIGIT = Source("LiosK/cdigit, public examples", "4.0.3", "example.js")
COMMONS = Source("homebeaver/standard-validator, public tests", "1.10", "pure system 1271")


def satisfies_the_definition(text: str) -> bool:
    """ISO/IEC 7064: sum of a_i * 36**(i-1), i counted from the right, is 1 modulo 1271."""
    return sum(ALPHABET.index(c) * 36 ** (i - 1) for i, c in enumerate(reversed(text), start=1)) % 1271 == 1


alphanumeric = st.text(ALPHABET, min_size=1, max_size=16)
serials = st.builds(
    serial_from, st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=1, max_size=4), st.integers(1, 999_999)
)


@pytest.mark.parametrize(
    ("source", "body", "check"),
    [
        (STANDARD, "ISO79", "3W"),
        (CHECK_DIGITS_NET, "XS868977863229", "AU"),
        (CHECK_DIGITS_NET, "123456789ABCDE", "H2"),
        (CHECK_DIGITS_NET, "AEIOU1592430QWERTY", "0Z"),
        (CHECK_DIGITS_NET, "Z" * 36, "6X"),
        (GB_UTIL, "Z" * 16, "UU"),
        (CDIGIT, "12CD", "JU"),
    ],
)
def test_it_gives_the_published_check_characters(source, body, check):
    published(source, [check_characters(body)], [check])
    assert is_valid(body + check)
    assert satisfies_the_definition(body + check)


def test_it_takes_the_published_zeros_for_valid():
    published(COMMONS, [is_valid("001"), is_valid("00001")], [True, True])


@pytest.mark.parametrize(
    "wrong",
    [
        "XT868977863229AU",  # one character
        "XS869877863229AU",  # two digits swapped
        "123456789BACDEH2",  # two letters swapped
        "XS868977863339AU",  # twins
        "123456987ABCDEH2",  # swapped over a third
        "UXS868977863229A",  # turned round
    ],
)
def test_it_finds_the_published_mistakes(wrong):
    published(CHECK_DIGITS_NET.at(f"refused case {wrong}"), [is_valid(wrong)], [False])


@unhurried
@given(alphanumeric)
def test_it_agrees_with_the_definition(body):
    assert satisfies_the_definition(with_check(body))
    others = [a + b for a, b in product(ALPHABET, ALPHABET) if satisfies_the_definition(body + a + b)]
    # 1296 pairs over 1271 remainders: 25 remainders have two pairs; the standard's is the smaller.
    assert check_characters(body) == others[0]
    assert len(others) <= 2


SAMPLES = ["KR000123", "A999999", "ZZZZ000001", "QB104729"]


@pytest.mark.parametrize("body", SAMPLES)
def test_it_notices_every_single_wrong_character(body):
    right = with_check(body)
    for place in range(len(right)):
        for character in ALPHABET:
            wrong = right[:place] + character + right[place + 1 :]
            assert is_valid(wrong) == (wrong == right)


@pytest.mark.parametrize("body", SAMPLES)
def test_it_notices_every_swap_of_two_characters_however_far_apart(body):
    right = with_check(body)
    for a, b in combinations(range(len(right)), 2):
        swapped = list(right)
        swapped[a], swapped[b] = swapped[b], swapped[a]
        wrong = "".join(swapped)
        assert is_valid(wrong) == (wrong == right)


def test_a_swap_could_hide_only_from_twenty_places_apart_which_no_serial_reaches():
    """(36**k - 1) * d = 0 modulo 1271 with |d| <= 35 has its first k at 20; derived from the definition."""
    hiding = [k for k in range(1, 60) if any((36**k - 1) * d % 1271 == 0 for d in range(1, 36))]
    assert hiding[0] == 20
    assert len(serial_from("ABCD", 1)) <= 20


@pytest.mark.parametrize("body", SAMPLES)
def test_it_notices_every_pair_of_wrong_neighbouring_digits(body):
    """36 * 9 + 9 is below 1271, so two neighbouring digits cannot both change unseen."""
    right = with_check(body)
    first = len(body) - 6
    for place in range(first, len(body) - 1):
        for digits in product("0123456789", repeat=2):
            wrong = right[:place] + "".join(digits) + right[place + 2 :]
            assert is_valid(wrong) == (wrong == right)


@pytest.mark.parametrize("body", SAMPLES)
def test_it_notices_all_but_a_few_of_two_wrong_digits_anywhere(body):
    """Two wrong characters far apart are noticed in all but about one in 1271 cases, never promised."""
    right = with_check(body)
    digits = range(len(body) - 6, len(body))
    tried = unseen = 0
    for a, b in combinations(digits, 2):
        for x, y in product("0123456789", repeat=2):
            wrong = list(right)
            if x == right[a] or y == right[b]:
                continue
            wrong[a], wrong[b] = x, y
            tried += 1
            unseen += is_valid("".join(wrong))
    assert unseen / tried < 1 / 300


@unhurried
@given(serials, st.data())
def test_it_notices_twins_that_became_other_twins(serial, data):
    """aa to bb: 37 * d is no multiple of 1271."""
    place = data.draw(st.integers(0, len(serial) - 2))
    other = data.draw(st.sampled_from(ALPHABET))
    twin = serial[:place] + serial[place] * 2 + serial[place + 2 :]
    right = twin[:-2] + check_characters(twin[:-2]) if place < len(serial) - 3 else serial
    if right[place] != right[place + 1]:
        return
    wrong = right[:place] + other * 2 + right[place + 2 :]
    assert is_valid(wrong) == (wrong == right)


@unhurried
@given(serials)
def test_it_reads_what_it_has_written(serial):
    assert parse(serial).text == serial
    assert parse(grouped(serial)).text == serial
    assert parse(grouped(serial).lower()).text == serial
    assert serial_from(parse(serial).prefix, parse(serial).number) == serial


@unhurried
@given(serials, st.data())
def test_spaces_and_hyphens_do_not_matter(serial, data):
    loose = "".join(
        c + data.draw(st.sampled_from(["", " ", "-", "\u2011", "\u00a0", "\t", " - "])) for c in serial
    )
    assert parse("  " + loose + "\r\n").text == serial


@unhurried
@given(serials, st.data())
def test_one_wrong_character_is_always_refused_by_name(serial, data):
    place = data.draw(st.integers(0, len(serial) - 1))
    character = data.draw(st.sampled_from(ALPHABET))
    wrong = serial[:place] + character + serial[place + 1 :]
    if wrong == serial:
        return
    with pytest.raises(SerialProblem) as caught:
        parse(wrong)
    assert caught.value.code in {"check_characters", "character"}


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("", "length", "this one has 0"),
        ("KR123H7", "length", "has 9 to 12 characters, this one has 7"),
        ("KRKRKR000123H7", "length", "this one has 14"),
        (
            "KR00O123H7",
            "character",
            "Character 5 of the serial is the letter “O”; a digit stands there (is it a zero?)",
        ),
        ("KRX00012SH7", "character", "Character 9 of the serial is the letter “S”"),
        ("K8000123H7", "character", "Character 2 of the serial is “8”; a letter"),
        ("KR000123Ä7", "character", "Character 9 of the serial is “Ä”"),
        ("KR000123٧7", "character", "Character 9"),
        ("KR000123ß7", "character", "Character 9"),
        ("KR00012\x00H7", "character", "U+0000"),
        ("KR000123\ud800", "character", "U+D800"),
        ("KR000124H7", "check_characters", "KR 000 124-H7 do not agree"),
        ("https://example.org/s/KR000123H7", "character", "“:”"),
    ],
)
def test_it_says_which_problem_it_is(text, code, words):
    with pytest.raises(SerialProblem) as caught:
        parse(text)
    assert caught.value.code == code
    assert words in caught.value.sentence
    assert caught.value.sentence.endswith(".")
    assert all(isinstance(value, str) for value in caught.value.facts.values())


def test_it_does_not_tell_the_check_characters_of_a_wrong_serial():
    with pytest.raises(SerialProblem) as caught:
        parse("KR000123AA")
    assert "H7" not in caught.value.sentence and "H7" not in str(caught.value.facts)


@unhurried
@given(st.text(max_size=20))
def test_any_text_is_a_serial_or_a_problem_with_a_sentence(text):
    try:
        assert is_valid(parse(text).text)
    except SerialProblem as problem:
        assert problem.sentence


@pytest.mark.parametrize(
    ("prefix", "number"),
    [
        ("", 1),
        ("ABCDE", 1),
        ("kr", 1),
        ("K1", 1),
        ("Ä", 1),
        ("KR\n", 1),
        ("KR", 0),
        ("KR", -1),
        ("KR", 10**6),
    ],
)
def test_it_refuses_what_makes_no_serial(prefix, number):
    with pytest.raises(ValueError, match=r"is 1 to "):
        serial_from(prefix, number)


@pytest.mark.parametrize("text", ["", "iso79", "ISO 79", "Ä"])
def test_it_refuses_to_check_what_is_outside_the_alphabet(text):
    with pytest.raises(ValueError):
        check_characters(text)
    assert not is_valid(text + "3W")
