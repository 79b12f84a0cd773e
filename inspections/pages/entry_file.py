"""Readings out of a file: choose it, say what its columns are, look at what comes out, take it on."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from housings import gate, queries
from inspections.bench import Bench
from inspections.forms.from_file import FEATURE_WORDS, FileForm, shape_of
from inspections.measuring import Measuring
from inspections.pages.ahead import look_ahead
from inspections.pages.brought import LONGEST_NAME, file_form, read_for, remember, way_of
from inspections.pages.entry.asking import measuring_at
from inspections.pages.showing import sentences, show
from inspections.probe_files import DELIMITERS, MOST_BYTES, Unreadable
from shopqc import files
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import Refused, refuse

ROWS_SHOWN = 8


class UploadForm(forms.Form):
    """The file that an instrument wrote."""

    upload = forms.FileField(
        label=gettext_lazy("The file"),
        help_text=gettext_lazy(
            "CSV or text, as the measuring arm, the probe or the indicator wrote it; at most 5 MB."
        ),
        allow_empty_file=True,  # that it is empty is said by what reads it
        error_messages={"required": gettext_lazy("Choose a file.")},
        widget=forms.FileInput(
            attrs={"accept": ".csv,.txt,.tsv,.asc,.dat,.xyz,text/*", "class": "input-file"}
        ),
    )


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def entry_file(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """A file for one measuring; without one it is asked for."""
    actor = actor_at(request)
    bench = Bench(gate.Situation(queries.housing_by_serial(actor, serial)), actor)
    against = bench.reasons()
    measuring = measuring_at(request, bench, code, against)
    if measuring is None or against:
        if request.method == "POST":
            raise Refused(*against) if against else refuse("page_not_found")
        return _page(request, bench, None, against=sentences(against))
    if request.method == "POST":
        return _sent(request, bench, measuring, code)
    if request.GET.get("file"):
        return _choices(request, bench, measuring, code)
    return _page(request, bench, measuring, upload=UploadForm())


def _sent(request: HttpRequest, bench: Bench, measuring: Measuring, code: str) -> HttpResponse:
    if request.POST.get("file"):
        return _take(request, bench, measuring, code)
    upload = UploadForm(request.POST, request.FILES)
    if not upload.is_valid():
        return _page(request, bench, measuring, upload=upload, status=422)
    sent: UploadedFile[Any] = upload.cleaned_data["upload"]
    # One byte more than is taken, so that what is too large is said with a sentence and read no further.
    content = sent.read(MOST_BYTES + 1)
    asked = {}
    try:
        read_for(content, bench.measured.housing.serial)
    except Unreadable as error:
        if error.question != "decimal":
            upload.add_error("upload", str(error))
            return _page(request, bench, measuring, upload=upload, status=422)
        asked = {"decimal": "?"}
    address = {"file": files.keep_upload(content), "name": (sent.name or "")[:LONGEST_NAME], **asked}
    return redirect(f"{request.path}?{urlencode(address)}")


def _choices(request: HttpRequest, bench: Bench, measuring: Measuring, code: str) -> HttpResponse:
    """What the columns are, as far as it is known, and what comes out of the file so."""
    given = request.GET.dict()
    try:
        form = file_form(measuring, given, bench.measured.housing.serial)
    except Unreadable as error:
        if error.question == "decimal":
            return _page(request, bench, measuring, ask_decimal=given, why=str(error))
        upload = UploadForm()
        return _page(request, bench, measuring, upload=upload, why=str(error), status=422)
    return _page(request, bench, measuring, form=form, **_outcome(bench, measuring, form))


def _outcome(bench: Bench, measuring: Measuring, form: FileForm) -> dict[str, Any]:
    """What comes out of a file as its columns are chosen: verdicts and pictures, or why nothing does."""
    try:
        taken = form.taken()
        raws = form.raws()
    except Unreadable as error:
        return {"why": str(error)}
    entries = [{"characteristic": code, "raw": raw} for code, raw in raws.items()]
    return {
        "taken": taken,
        "counts": [
            {"feature": FEATURE_WORDS[feature], "count": len(rows)}
            for feature, rows in taken.parts.items()
            if len(form.features) > 1
        ],
        "ahead": look_ahead(measuring, entries, {}, bench.situation.shop),
    }


def _take(request: HttpRequest, bench: Bench, measuring: Measuring, code: str) -> HttpResponse:
    """On to the form of the reading, which the file's figures stand in; what was chosen is remembered."""
    given = {name: str(value) for name, value in request.POST.items() if name != "csrfmiddlewaretoken"}
    try:
        form = file_form(measuring, given, bench.measured.housing.serial)
        form.raws()
    except Unreadable as error:
        return _page(request, bench, measuring, upload=UploadForm(), why=str(error), status=422)
    remember(form)
    chosen = {**form.choices(), "file": given["file"], "name": given.get("name", "")}
    chosen |= {"decimal": given.get("decimal", ""), "way": way_of(form)}
    entry = reverse("entry-one", args=[bench.measured.housing.serial, code])
    return redirect(f"{entry}?{urlencode({name: value for name, value in chosen.items() if value})}")


def _page(
    request: HttpRequest,
    bench: Bench,
    measuring: Measuring | None,
    *,
    form: FileForm | None = None,
    status: int = 200,
    **context: Any,
) -> HttpResponse:
    context |= {
        "housing": bench.measured.housing,
        "here": bench.here,
        "measuring": measuring,
        "can_be_read": measuring is not None and shape_of(measuring) is not None,
        "form": form,
        "file": _file_words(form) if form else None,
    }
    response = show(request, "entry_file.html", context)
    response.status_code = status
    return response


def _file_words(form: FileForm) -> dict[str, Any]:
    """What was read of a file, for the eye: how it is written, its first rows, what was left out."""
    table = form.table
    marks = {".": _("decimal point"), ",": _("decimal comma"), "": _("no decimals")}
    roles = {place: form.fields[f"column_{role}"].label for role, place in form.columns.items()}
    return {
        "name": form.data.get("name", ""),
        "mark": marks[table.dialect.decimal],
        "delimiter": DELIMITERS[table.dialect.delimiter],
        "unit": form.unit,
        "heads": [(name, roles.get(place, "")) for place, name in enumerate(table.names)],
        "rows": table.rows[:ROWS_SHOWN],
        "count": len(table.rows),
        "more": max(len(table.rows) - ROWS_SHOWN, 0),
        "left_out": ", ".join(str(line) for line in table.left_out[:20]),
    }
