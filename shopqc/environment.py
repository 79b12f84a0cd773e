"""Readers of environment variables that fail loudly.

A setting that is misspelled should stop the program with a sentence, not be
taken for its default.
"""

import os
from pathlib import Path
from urllib.parse import urlsplit

from django.core.exceptions import ImproperlyConfigured
from django.core.management.utils import get_random_secret_key

TRUE, FALSE = {"1", "true", "yes", "on"}, {"0", "false", "no", "off"}


def text(name: str, default: str) -> str:
    """The value of a variable; an empty one counts as not set."""
    return os.environ.get(name, "").strip() or default


def flag(name: str, default: bool) -> bool:
    """A yes/no variable."""
    value = text(name, "yes" if default else "no").lower()
    if value in TRUE:
        return True
    if value in FALSE:
        return False
    raise ImproperlyConfigured(f"{name} is {value!r}; write yes or no.")


def whole_number(name: str, default: int, least: int = 0) -> int:
    """A whole number not below ``least``."""
    value = text(name, str(default))
    try:
        number = int(value)
    except ValueError:
        raise ImproperlyConfigured(f"{name} is {value!r}; write a whole number.") from None
    if number < least:
        raise ImproperlyConfigured(f"{name} is {number}; the least is {least}.")
    return number


def hour(name: str) -> int | None:
    """An hour of the day, 0 to 23, or ``None`` if the variable is not set."""
    if not text(name, ""):
        return None
    number = whole_number(name, 0)
    if number > 23:
        raise ImproperlyConfigured(f"{name} is {number}; write an hour from 0 to 23.")
    return number


def address(name: str, default: str) -> str:
    """An http(s) address without a trailing slash; 60 characters at most, so that a QR link has 100."""
    value = text(name, default).rstrip("/")
    parts = urlsplit(value)
    if parts.scheme not in {"http", "https"} or not parts.hostname or parts.query or parts.fragment:
        raise ImproperlyConfigured(f"{name} is {value!r}; write an address such as https://qc.example.org.")
    if len(value) > 60:
        raise ImproperlyConfigured(f"{name} has {len(value)} characters; a QR link holds at most 60 of it.")
    return value


def names(name: str, default: list[str]) -> list[str]:
    """A list separated by commas."""
    value = text(name, "")
    return [part.strip() for part in value.split(",") if part.strip()] if value else default


def secret_key(name: str, home: Path) -> str:
    """The secret of the environment, else one that is made at first start and kept readable by us alone."""
    if value := text(name, ""):
        return value
    home.mkdir(parents=True, exist_ok=True)
    path = home / "secret_key"
    try:
        # O_EXCL: of two processes that start at once, one makes the key and the other reads it.
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        pass
    else:
        with os.fdopen(descriptor, "w") as file:
            file.write(get_random_secret_key())
    key = path.read_text().strip()
    if not key:
        raise ImproperlyConfigured(f"{path} is empty; delete it and start again, or set {name}.")
    return key
