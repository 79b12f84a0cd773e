"""Figures that come to the form of a reading by no hand: out of a file, from a pretended gauge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from inspections.forms.from_file import FileForm, shape_of
from inspections.forms.readings.kinds import sheet_class_of
from inspections.forms.readings.sheet import digest_of
from inspections.measuring import Measuring
from inspections.models import FileColumns
from inspections.probe_files import Shape, Table, Unreadable, read, same_serial
from inspections.simulated import simulated_raws
from shopqc import files
from shopqc.canonical import digest

LONGEST_NAME = 120


@dataclass(frozen=True)
class Brought:
    """Raw readings by the code of their characteristic; ``source`` is one of `inspections.setup.SOURCES`."""

    raws: Mapping[str, Mapping[str, Any]]
    source: str
    simulated: bool = False


def initial_of(request: HttpRequest, measuring: Measuring, serial: str) -> dict[str, Any]:
    """What the form of a measuring starts with of what the address brings; why not, is said on the page."""
    try:
        found = brought_to(request, measuring, serial)
    except Unreadable as error:
        messages.error(request, str(error))
        return {}
    if found is None:
        return {}
    sheet = sheet_class_of(measuring)(measuring, way=request.GET.get("way", ""))
    return {
        **sheet.initial(found.raws),
        "source": found.source,
        "simulated": found.simulated,
        "brought": digest_of(found.raws),
    }


def way_of(form: FileForm) -> str:
    """In which of the ways of its sheet the readings of a file are entered."""
    return sheet_class_of(form.measuring).way_of(form.raws())


def brought_to(request: HttpRequest, measuring: Measuring, serial: str) -> Brought | None:
    """What the address says is brought to the form; ``None`` if nothing is.

    Raises
    ------
    Unreadable
        The file that the address names cannot be taken as it says, with the sentence why.
    """
    if request.GET.get("file"):
        form = file_form(measuring, request.GET.dict(), serial)
        return Brought(form.raws(), "file")
    if request.GET.get("simulated") and settings.SIMULATED_GAUGE:
        raws = simulated_raws(measuring, serial)
        return Brought(raws, "gauge", simulated=True) if raws else None
    return None


def read_for(content: bytes, serial: str, decimal: str | None = None) -> Table:
    """The table of a file, which must be of this housing if it names one.

    Raises
    ------
    Unreadable
        It cannot be read, or is of another housing.
    """
    table = read(content, decimal=decimal)
    for line, written in table.serials:
        if not same_serial(written, serial):
            raise Unreadable(
                _("This file is of housing %(other)s (line %(line)d), and here is %(serial)s.")
                % {"other": written[:40], "line": line, "serial": serial}
            )
    return table


def file_form(measuring: Measuring, given: Mapping[str, str], serial: str) -> FileForm:
    """The form of an uploaded file whose digest is given, with what was sent, remembered or guessed of it.

    Raises
    ------
    Unreadable
        The file is not kept any more or cannot be read; the measuring is not taken from files.
    """
    shape = shape_of(measuring)
    if shape is None:
        raise Unreadable(_("%(name)s is not taken from a file.") % {"name": measuring.name})
    try:
        content = files.read_upload(given.get("file", ""))
    except (FileNotFoundError, ValueError):
        raise Unreadable(_("This file is not kept any more; choose it once more.")) from None
    decimal = given.get("decimal")
    table = read_for(content, serial, decimal if decimal in {".", ","} else None)
    return FileForm(measuring, shape, table, given, _remembered(shape, table))


def _remembered(shape: Shape, table: Table) -> dict[str, str]:
    known = FileColumns.objects.filter(shape=shape.value, headings=digest(table.header.encode())).first()
    return dict(known.choices) if known else {}


def remember(form: FileForm) -> None:
    """Keep what was chosen for the next file with the same headings."""
    FileColumns.objects.update_or_create(
        shape=form.shape.value,
        headings=digest(form.table.header.encode()),
        defaults={"choices": form.choices(), "chosen_at": timezone.now()},
    )
