"""Compositions as certificates and people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.carbon_equivalent import carbon_equivalent
from housings.engineering.composition import CompositionProblem, composition_from, tidy_composition

# The ranges of 4130 in SAE J404 (known from memory), as a certificate may print them.
TABLE = "C\tMn\tP\tS\tSi\tCr\tMo\n0.31\t0.52\t0.010\t0.004\t0.24\t0.96\t0.19"
KEPT = {"C": "0.31", "Mn": "0.52", "P": "0.010", "S": "0.004", "Si": "0.24", "Cr": "0.96", "Mo": "0.19"}


@pytest.mark.parametrize(
    "typed",
    [
        TABLE,
        TABLE.replace(".", ","),
        " ".join(f"{symbol} {percent}" for symbol, percent in KEPT.items()),
        ", ".join(f"{symbol} {percent.replace('.', ',')}" for symbol, percent in KEPT.items()),
        "\n".join(f"{symbol.upper()} = {percent} %" for symbol, percent in KEPT.items()),
        "; ".join(f"{symbol.lower()}: {percent.removeprefix('0')}" for symbol, percent in KEPT.items()),
    ],
)
def test_however_it_is_written_it_is_the_same(typed: str) -> None:
    assert composition_from(typed) == KEPT


@pytest.mark.parametrize("empty", ["", "  ", "\n\t", ";,"])
def test_nothing_is_no_composition(empty: str) -> None:
    assert composition_from(empty) == {}


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("C 0.30 C 0.31", "C stands twice."),
        ("C 0.30 Mn", "Write each symbol with its percentage"),
        ("0.30 C", "Write each symbol with its percentage"),
        ("C Mn 0.30", "Write each symbol with its percentage"),
        ("C 1.234,5", "is neither a chemical symbol nor a percentage"),
        ("C -0.3", "is neither a chemical symbol nor a percentage"),
        ("C 1e9", "“E” is no chemical symbol."),
        ("C ٣", "is neither a chemical symbol nor a percentage"),
        ("Carbon 0.30", "is neither a chemical symbol nor a percentage"),
        ("Xx 1 C 0.3", "“Xx” is no chemical symbol."),
        ("Mn 0.50", "The composition names no carbon."),
        ("C 60 Fe 60", "The composition adds up to 120.00 percent."),
        ("C 101", "Percent of C: it lies between 0 and 100."),
        ("C 0.3 " * 500, "at most 2000 characters"),
    ],
)
def test_what_cannot_be_is_said(typed: str, says: str) -> None:
    with pytest.raises(CompositionProblem, match=says.replace("(", r"\(")):
        composition_from(typed)


@given(st.text(max_size=60))
def test_any_text_is_a_composition_or_a_sentence(typed: str) -> None:
    try:
        kept = composition_from(typed)
    except CompositionProblem as problem:
        assert str(problem)
    else:
        assert tidy_composition(kept) == kept
        assert not kept or carbon_equivalent(kept, "CET") >= 0
