"""Dye penetrant and magnetic particle tests: what is recorded of each, and what its light should be.

Methods by their letters in ISO 9712. The figures of ISO 3059 are known from memory and were not read in the
standard: they are shown beside what somebody typed and decide nothing.
"""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

__all__ = ["FIGURES", "LEAST_LEVEL", "LIGHTS", "METHODS", "YES_NO", "fields_of", "light_remarks"]

METHODS: Mapping[str, str] = MappingProxyType({"PT": "dye penetrant", "MT": "magnetic particles"})
LIGHTS: Mapping[str, str] = MappingProxyType({"white": "white light", "uv": "ultraviolet light"})
LEAST_LEVEL = 2
"""Who judges what a test shows is certified for level 2 at least (ISO 9712, from memory: level 1 tests, and
does not judge)."""

FIGURES: Mapping[str, str] = MappingProxyType(
    {
        "illuminance": "lx",
        "irradiance": "W/m²",
        "dwell": "min",
        "developing": "min",
        "field": "kA/m",
        "surface_temperature": "°F",
    }
)
"""Figures that may be recorded, each with its unit."""
YES_NO = ("yes", "no")
_WORDS = ("batch", "light", "equipment")
_OF = {"PT": ("dwell", "developing", "surface_temperature"), "MT": ("field", "demagnetised")}

LEAST_ILLUMINANCE, MOST_ILLUMINANCE_UV = Decimal(500), Decimal(20)
LEAST_IRRADIANCE, MOST_IRRADIANCE = Decimal(10), Decimal(50)
"""lx and W/m² at the surface: at least 500 lx of white light; under ultraviolet light 10 to 50 W/m² of UV-A
and at most 20 lx of other light (ISO 3059, from memory)."""


def fields_of(method: str) -> tuple[str, ...]:
    """What may be recorded of a test by a method.

    >>> fields_of("MT")
    ('batch', 'light', 'equipment', 'illuminance', 'irradiance', 'field', 'demagnetised')
    """
    return (*_WORDS, "illuminance", "irradiance", *_OF.get(method, ()))


def light_remarks(how: Mapping[str, str]) -> tuple[str, ...]:
    """What of the light is not as ISO 3059 has it, as sentences; empty if nothing was recorded or is amiss.

    >>> light_remarks({"light": "uv", "irradiance": "8", "illuminance": "20"})
    ('8 W/m² of UV-A are less than 10 W/m².',)
    """
    white, ultraviolet = _figure(how, "illuminance"), _figure(how, "irradiance")
    said = []
    if how.get("light") == "uv":
        if ultraviolet is not None and ultraviolet < LEAST_IRRADIANCE:
            said.append(f"{ultraviolet} W/m² of UV-A are less than {LEAST_IRRADIANCE} W/m².")
        if ultraviolet is not None and ultraviolet > MOST_IRRADIANCE:
            said.append(f"{ultraviolet} W/m² of UV-A are more than {MOST_IRRADIANCE} W/m².")
        if white is not None and white > MOST_ILLUMINANCE_UV:
            said.append(f"{white} lx of other light are more than {MOST_ILLUMINANCE_UV} lx.")
    elif white is not None and white < LEAST_ILLUMINANCE:
        said.append(f"{white} lx are less than {LEAST_ILLUMINANCE} lx.")
    return tuple(said)


def _figure(how: Mapping[str, str], name: str) -> Decimal | None:
    try:
        return Decimal(how[name]) if how.get(name) else None
    except InvalidOperation:
        return None
