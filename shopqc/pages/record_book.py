"""The record book of one thing: every line that was ever written about it, in words."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from shopqc.doors import for_roles, person_at
from shopqc.ledger import recorded_models
from shopqc.models import Person, Recorded
from shopqc.people import OWNER, QC_LEAD, role_words
from shopqc.record_book import lines_of, read
from shopqc.refusals import refuse

AT_ONCE = 40
# Whose lines everybody in the shop may read, and whose only some may; a person may always read their own.
FOR: dict[str, tuple[str, ...]] = {
    "housing": (),
    "gauge": (),
    "heat": (),
    "order": (OWNER, QC_LEAD),
    "shop": (OWNER, QC_LEAD),
    "person": (OWNER,),
}
NAMES = {
    "housing": gettext_lazy("Housing %(name)s"),
    "gauge": gettext_lazy("Gauge %(name)s"),
    "heat": gettext_lazy("Heat %(name)s"),
    "order": gettext_lazy("Order %(name)s"),
    "shop": gettext_lazy("The shop"),
    "person": gettext_lazy("Stamp %(name)s"),
}


@for_roles()
@require_safe
def record_book(request: HttpRequest, chain: str) -> HttpResponse:
    """The lines of one chain, the newest first."""
    kind, _colon, name = chain.partition(":")
    owner = _owner(kind, name)
    if owner is None:
        raise refuse("not_found", what=_("record book of"), name=chain)
    roles = FOR[kind]
    if roles and not person_at(request).has_role(*roles) and owner != person_at(request):
        raise refuse("page_not_yours", roles=role_words(roles))
    page = Paginator(lines_of(chain), AT_ONCE).get_page(request.GET.get("page"))
    grouped = getattr(owner, "serial_grouped", name)
    context = {
        "name": str(NAMES[kind]) % {"name": grouped},
        "page": page,
        "lines": [read(entry) for entry in page],
        "back": owner.get_absolute_url() if hasattr(owner, "get_absolute_url") else "",
        "head": owner.record_head,
        "is_person": isinstance(owner, Person),
    }
    return render(request, "shopqc/record_book.html", context)


def _owner(kind: str, name: str) -> Recorded | None:
    model = next((model for model in recorded_models() if model.chain_kind == kind and kind in FOR), None)
    return model._default_manager.filter(**{model.chain_key: name}).first() if model else None
