"""Rules that the owner puts into use one by one.

On day one a shop has no gauge, no welder and no heat on file; each rule can
be "not in use yet", and the certificate then says what was not recorded.
Each app registers the rules it reads, beside the code that reads them.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shopqc.models import Shop
from shopqc.refusals import refuse
from shopqc.refusals import register as register_refusals


@dataclass(frozen=True)
class Rule:
    """A rule that can be switched.

    Parameters
    ----------
    code : str
    asks : str
        What it demands, as a sentence.
    when_off : str
        What the certificate says while it is not in use.
    from_start : bool
        Whether a new shop has it in use.
    """

    code: str
    asks: str | Promise
    when_off: str | Promise
    from_start: bool = True


RULES: dict[str, Rule] = {}
register_refusals(409, {"shop_not_set_up": _("The shop is not set up yet. Run: manage.py set_up")})


def register(*rules: Rule) -> None:
    """Add rules; a code is registered once."""
    for rule in rules:
        if rule.code in RULES:
            raise ValueError(f"The rule {rule.code!r} is registered twice.")
        RULES[rule.code] = rule


def in_use(shop: Shop) -> frozenset[str]:
    """Codes of the rules that the shop has in use."""
    return frozenset(
        code for code, rule in RULES.items() if shop.rules.get(code, {}).get("in_use", rule.from_start)
    )


def the_shop() -> Shop:
    """The shop as it is now; refused while nobody has set it up."""
    shop = Shop.objects.filter(code="shop").first()
    if shop is None:
        raise refuse("shop_not_set_up")
    return shop
