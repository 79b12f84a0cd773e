"""Orders out of a file: choose it, look at every order and what stands against it, place what is whole.

The file is kept for a day under its digest, which the address carries; so going back, reloading and
correcting lose nothing, and the same file placed again places nothing twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_http_methods, require_safe

from housings.engineering import order_table
from housings.engineering.order_table import COLUMNS, MOST_BYTES, NEEDED, NoOrderTable, OrderTable
from housings.engineering.ready_specs import READY
from housings.engineering.spec_fields import FIELDS
from housings.operations.orders import place_order
from housings.order_files import FileOrder, orders_in, rest_of
from housings.places import ORDERS
from shopqc import files
from shopqc.doors import actor_at, for_roles, run
from shopqc.forms import KeyedForm
from shopqc.models import Customer
from shopqc.refusals import Refused, refuse

LONGEST_NAME = 80


class OrderFileForm(forms.Form):
    """A file, or the cells of a spreadsheet pasted."""

    use_required_attribute = False

    upload = forms.FileField(
        label=gettext_lazy("The file"),
        help_text=gettext_lazy("CSV from a spreadsheet or from another program; at most 1 MB and 500 rows."),
        required=False,
        allow_empty_file=True,  # that it is empty is said by what reads it
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/*", "class": "input-file"}),
    )
    pasted = forms.CharField(
        label=gettext_lazy("Or paste the rows"),
        help_text=gettext_lazy("Copied from a spreadsheet together with the line of names."),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not cleaned.get("upload") and not str(cleaned.get("pasted", "")).strip() and not self.errors:
            self.add_error("upload", _("Choose a file, or paste the rows."))
        return cleaned

    def content(self) -> bytes:
        """What was sent, at most one byte more than is read."""
        sent: UploadedFile[Any] | None = self.cleaned_data["upload"]
        if sent:
            return sent.read(MOST_BYTES + 1)
        return str(self.cleaned_data["pasted"]).encode("utf-8", "replace")[: MOST_BYTES + 1]

    @property
    def name(self) -> str:
        sent: UploadedFile[Any] | None = self.cleaned_data["upload"]
        return (sent.name or "")[:LONGEST_NAME] if sent else ""


@for_roles(*ORDERS)
@require_http_methods(["GET", "HEAD", "POST"])
def orders_file(request: HttpRequest) -> HttpResponse:
    """Choose a file; look at its orders; place those that were chosen."""
    if not Customer.objects.exists():
        return render(request, "housings/orders_file.html", {"no_customer": True})
    if request.method == "POST" and not request.POST.get("file"):
        return _sent(request)
    given = request.POST if request.method == "POST" else request.GET
    if not given.get("file"):
        return _page(request, upload=OrderFileForm())
    table = _kept(given["file"])
    if table is None:
        form = OrderFileForm()
        why = _("The file is not kept any more; files wait for a day. Choose it once more.")
        return _page(request, upload=form, why=[why], status=404)
    orders = orders_in(table)
    if request.method == "POST":
        return _place(request, table, orders)
    return _preview(request, table, orders)


def _sent(request: HttpRequest) -> HttpResponse:
    form = OrderFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, upload=form, status=422)
    content = form.content()
    try:
        order_table.read(content)
    except NoOrderTable as error:
        return _page(request, upload=form, why=list(error.reasons), status=422)
    address = {"file": files.keep_upload(content), "name": form.name}
    return redirect(f"{request.path}?{urlencode({name: value for name, value in address.items() if value})}")


def _kept(name: str) -> OrderTable | None:
    try:
        return order_table.read(files.read_upload(name))
    except (OSError, ValueError):  # not kept any more, never kept, or no digest
        return None


def _place(request: HttpRequest, table: OrderTable, orders: Sequence[FileOrder]) -> HttpResponse:
    """One operation for each chosen order; none is begun unless all of them are whole or placed already."""
    file = request.POST["file"]
    wanted = set(request.POST.getlist("order"))
    chosen = [order for order in orders if order.id in wanted]
    if not chosen:
        return _preview(request, table, orders, why=_("Choose at least one order."), status=422)
    if any(order.reasons for order in chosen):
        why = _("Nothing was placed: an order that you chose is not whole any more.")
        return _preview(request, table, orders, why=why, status=422)
    actor_at(request).check_may("place_order")
    placed, failed, status = [], False, 200
    for order in chosen:
        if order.placed_as:
            continue
        form = KeyedForm({"sent_key": f"file {file[:40]} {order.id}"})
        form.is_valid()
        try:
            answer = run(request, place_order, form, **order.inputs)
        except Refused as refused:
            order.say(refused.reasons)
            failed, status = True, refused.status
        else:
            order.placed_as = answer["order"]
            placed.append(answer)
    if placed:
        housings = sum(len(answer["housings"]) for answer in placed)
        said = ngettext("%(count)s order is placed", "%(count)s orders are placed", len(placed))
        released = ngettext(
            "its housing is released to the floor.", "%(count)s housings are released to the floor.", housings
        )
        messages.success(request, f"{said % {'count': len(placed)}}; {released % {'count': housings}}")
    if failed:
        return _preview(request, table, orders, why=_("Some orders were not placed."), status=status)
    return redirect(f"{request.path}?{urlencode({'file': file, 'name': _name(request)})}")


def _name(request: HttpRequest) -> str:
    given = request.POST if request.method == "POST" else request.GET
    return given.get("name", "")[:LONGEST_NAME]


def _preview(
    request: HttpRequest,
    table: OrderTable,
    orders: Sequence[FileOrder],
    *,
    why: str = "",
    status: int = 200,
) -> HttpResponse:
    given = request.POST if request.method == "POST" else request.GET
    wrong = [order for order in orders if order.reasons]
    context = {
        "file": given["file"],
        "name": _name(request),
        "table": table,
        "orders": orders,
        "whole": [order for order in orders if order.is_whole],
        "housings": sum(order.count for order in orders if order.is_whole),
        "wrong": wrong,
        "done": [order for order in orders if order.placed_as],
        "correct": OrderFileForm(initial={"pasted": rest_of(table, orders)}) if wrong else None,
        "why": [why] if why else [],
    }
    return _page(request, status=status, **context)


def _page(request: HttpRequest, *, status: int = 200, **context: Any) -> HttpResponse:
    context["columns"] = [
        (name, label, name in NEEDED, FIELDS[name].unit if name in FIELDS else "")
        for name, label in COLUMNS.items()
    ]
    return render(request, "housings/orders_file.html", context, status=status)


@for_roles(*ORDERS)
@require_safe
def orders_file_download(request: HttpRequest, which: str) -> HttpResponse:
    """The template, an example, or the rows of a file that could not be placed."""
    match which:
        case "template":
            text = order_table.write([list(COLUMNS)])
        case "template-semicolons":
            text = order_table.write([list(COLUMNS)], ";")
        case "example":
            text = _example()
        case "rest":
            table = _kept(request.GET.get("file", ""))
            if table is None:
                raise refuse("not_found", what=_("file"), name=request.GET.get("file", "")[:12])
            text = rest_of(table, orders_in(table))
        case _:
            raise refuse("page_not_found")
    # With a byte order mark, by which spreadsheets know that letters beyond ASCII are UTF-8.
    response = HttpResponse(f"\ufeff{text}".encode(), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="orders-{which}.csv"'
    return response


def _example() -> str:
    """Two orders, the second of two lines; references say that they are an example."""
    customer = Customer.objects.order_by("pk").values_list("code", flat=True).first() or "customer"
    specs = [ready.spec for ready in READY.values()]
    rows = [list(COLUMNS)]
    for reference, quantity, spec in (
        ("EXAMPLE-1", "2", specs[0]),
        ("EXAMPLE-2", "1", specs[-1]),
        ("EXAMPLE-2", "1", specs[0]),
    ):
        head = {"customer": customer, "reference": reference, "quantity": quantity}
        words = {True: "yes", False: "no", None: ""}
        cells = {**head, **{name: str(words.get(value, value)) for name, value in spec.items()}}
        rows.append([cells.get(name, "") for name in COLUMNS])
    return order_table.write(rows)
