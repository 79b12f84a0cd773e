"""Serial numbers that notice a wrong or swapped character: two check characters by ISO/IEC 7064 MOD 1271-36.

A serial is the shop's prefix (letters), a running number of six digits, and the two check characters:
``KR000123`` + ``H7`` is ``KR000123H7``; people read it as ``KR 000 123-H7``.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

__all__ = [
    "NUMBER_DIGITS",
    "PREFIX_LETTERS",
    "Serial",
    "SerialProblem",
    "check_characters",
    "grouped",
    "is_valid",
    "parse",
    "serial_from",
    "with_check",
]

_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_VALUE = {character: value for value, character in enumerate(_ALPHABET)}
_MODULUS, _RADIX = 1271, 36

PREFIX_LETTERS = (1, 4)
"""Fewest and most letters of a shop's prefix. With six digits and two check characters a serial stays under
21 characters, the length from which on some swaps of two far characters would go unnoticed."""
NUMBER_DIGITS = 6
_CHECK_LENGTH = 2
_SHORTEST = PREFIX_LETTERS[0] + NUMBER_DIGITS + _CHECK_LENGTH
_LONGEST = PREFIX_LETTERS[1] + NUMBER_DIGITS + _CHECK_LENGTH

_SEPARATORS = re.compile(r"[\s\-\u2010-\u2015]+")
_LOOKS_LIKE_DIGIT = {"O": "zero", "I": "one", "L": "one", "S": "five", "B": "eight", "Z": "two"}


class SerialProblem(ValueError):
    """Why a text is no serial.

    `code` is ``"length"``, ``"character"`` or ``"check_characters"``; `sentence` is for people; `facts` are
    its words (all text). The wanted check characters are not told: a guess must not become a serial.
    """

    def __init__(self, code: str, sentence: str, facts: Mapping[str, str]) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
        self.facts = dict(facts)


@dataclass(frozen=True, slots=True)
class Serial:
    """A serial whose check characters agree; `text` is all of it without separators."""

    prefix: str
    number: int
    check: str

    @property
    def body(self) -> str:
        return f"{self.prefix}{self.number:0{NUMBER_DIGITS}d}"

    @property
    def text(self) -> str:
        return self.body + self.check

    def __str__(self) -> str:
        return self.text


def check_characters(text: str) -> str:
    """The two check characters of a text.

    The string including them, read as digits a_i of base 36 from the right (i = 1, 2, ...), satisfies
    sum a_i * 36**(i-1) = 1 (mod 1271). Computed by the recursive method.
    Source: ISO/IEC 7064:2003, pure system with two check characters, section 8.2 for the worked example.

    Parameters
    ----------
    text : one or more of 0-9 and A-Z (capitals only)

    Raises
    ------
    ValueError
        The text is empty or holds another character.

    >>> check_characters("ISO79")
    '3W'
    """
    if not text:
        raise ValueError("An empty text has no check characters.")
    remainder = 0
    for character in text:
        if character not in _VALUE:
            raise ValueError(f"“{character}” is none of 0-9 and A-Z, so it cannot be checked.")
        remainder = (remainder + _VALUE[character]) * _RADIX % _MODULUS
    first, second = divmod((1 - remainder * _RADIX) % _MODULUS, _RADIX)
    return _ALPHABET[first] + _ALPHABET[second]


def with_check(body: str) -> str:
    """The body followed by its two check characters.

    >>> with_check("ISO79")
    'ISO793W'
    """
    return body + check_characters(body)


def is_valid(text: str) -> bool:
    """Whether the last two characters are the check characters of the rest, whatever the rest is.

    Only capitals, digits and no separators; use `parse` for what a person has typed.

    >>> is_valid("ISO793W"), is_valid("IS0793W"), is_valid("3W")
    (True, False, False)
    """
    body, check = text[:-_CHECK_LENGTH], text[-_CHECK_LENGTH:]
    return bool(body) and all(character in _VALUE for character in text) and check_characters(body) == check


def serial_from(prefix: str, number: int) -> str:
    """The serial of a shop's running number.

    Raises `ValueError` with a sentence for a prefix that is not one to four capital letters, or a number that
    is not 1 to 999999.

    >>> serial_from("KR", 123)
    'KR000123H7'
    """
    fewest, most = PREFIX_LETTERS
    if not re.fullmatch(rf"[A-Z]{{{fewest},{most}}}", prefix):
        raise ValueError(f"A prefix is {fewest} to {most} capital letters from A to Z, not “{prefix}”.")
    largest = 10**NUMBER_DIGITS - 1
    if not 1 <= number <= largest:
        raise ValueError(f"A running number is 1 to {largest}, not {number}.")
    return with_check(f"{prefix}{number:0{NUMBER_DIGITS}d}")


def parse(text: str) -> Serial:
    """The serial that a person or a scanner has entered; spaces, hyphens and small letters do not matter.

    Raises
    ------
    SerialProblem
        A character that cannot stand there, a wrong length, or check characters that do not agree.

    >>> parse(" kr-000 123 h7 ").text
    'KR000123H7'
    >>> try:
    ...     parse("KR0O0123H7")
    ... except SerialProblem as problem:
    ...     print(problem.code, problem.sentence, sep=": ")
    character: Character 4 of the serial is the letter “O”; a digit stands there (is it a zero?).
    """
    plain = _SEPARATORS.sub("", text)
    for place, character in enumerate(plain, start=1):
        if not (character.isascii() and character.isalnum()):
            raise SerialProblem(
                "character",
                f"Character {place} of the serial is “{_shown(character)}”; a serial has only letters"
                " A to Z and digits.",
                {"place": str(place), "character": _shown(character)},
            )
    plain = plain.upper()
    if not _SHORTEST <= len(plain) <= _LONGEST:
        raise SerialProblem(
            "length",
            f"A serial has {_SHORTEST} to {_LONGEST} characters, this one has {len(plain)}.",
            {"shortest": str(_SHORTEST), "longest": str(_LONGEST), "length": str(len(plain))},
        )
    prefix = plain[: -NUMBER_DIGITS - _CHECK_LENGTH]
    digits = plain[-NUMBER_DIGITS - _CHECK_LENGTH : -_CHECK_LENGTH]
    check = plain[-_CHECK_LENGTH:]
    _check_shape(prefix, digits)
    if check != check_characters(prefix + digits):
        shown = grouped(plain)
        raise SerialProblem(
            "check_characters",
            f"The check characters of {shown} do not agree: a character is wrong or two are swapped."
            " Compare it with the traveler, character by character.",
            {"serial": shown},
        )
    return Serial(prefix, int(digits), check)


def grouped(serial: str) -> str:
    """A serial for people: prefix, number in threes, check characters apart. `parse` reads it back.

    Takes a serial without separators (9 to 12 characters), checked or not.

    >>> grouped("KR000123H7")
    'KR 000 123-H7'
    """
    prefix, digits, check = serial[:-8], serial[-8:-2], serial[-2:]
    return f"{prefix} {digits[:3]} {digits[3:]}-{check}"


def _check_shape(prefix: str, digits: str) -> None:
    for place, character in enumerate(prefix, start=1):
        if not character.isalpha():
            raise SerialProblem(
                "character",
                f"Character {place} of the serial is “{character}”; a letter of the prefix stands there.",
                {"place": str(place), "character": character},
            )
    for place, character in enumerate(digits, start=len(prefix) + 1):
        if not character.isdigit():
            hint = _LOOKS_LIKE_DIGIT.get(character)
            raise SerialProblem(
                "character",
                f"Character {place} of the serial is the letter “{character}”; a digit stands there"
                + (f" (is it a {hint}?)." if hint else "."),
                {"place": str(place), "character": character},
            )


def _shown(character: str) -> str:
    return character if character.isprintable() else f"U+{ord(character):04X}"
