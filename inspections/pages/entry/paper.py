"""The photograph of the page that readings are copied from."""

from __future__ import annotations

import uuid

from django.http import FileResponse, HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings import queries
from housings.pages.away import SUFFIXES
from inspections.forms.readings import ReadingForm
from inspections.pages.entry import kept
from inspections.queries import readings_of
from shopqc import files
from shopqc.doors import actor_at, for_roles
from shopqc.operations.documents import file_document, keep, kind_of
from shopqc.refusals import Refused, refuse


def file_page(request: HttpRequest, form: ReadingForm) -> bool:
    """File the photograph that a form brings and remember it for this visit; False if the form says why not.

    Filing is an operation of its own, before the readings that name it: a photograph that nothing names is no
    harm, a reading that names one which is not there would be.
    """
    data = form.cleaned_data
    photo = data["photo"]
    try:
        actor_at(request).check_may("file_document")
        content, kind = photo.read(), photo.content_type or ""
        digest = keep(content, kind)
        file_document(
            sha256=digest,
            kind=kind,
            size=len(content),
            by=actor_at(request),
            at=timezone.now(),
            key=f"{form.key[:30]} {digest}",
        )
    except Refused as refused:
        form.add_error("photo", " ".join(refused.sentences))
        form.status = refused.status
        return False
    when = data.get("done_at")
    said = {"measured_by": data.get("measured_by", ""), "done_at": when.isoformat() if when else ""}
    kept.keep_paper(request, form.measuring.visit, {"paper": digest, **said})
    return True


@for_roles()
@require_safe
def page_of(request: HttpRequest, serial: str, pk: uuid.UUID) -> FileResponse:
    """The photograph of the page that a reading was copied from, to be kept or opened elsewhere."""
    housing = queries.housing_by_serial(actor_at(request), serial)
    reading = readings_of(housing).filter(pk=pk).exclude(paper="").first()
    if reading is None or not files.is_kept(reading.paper):
        raise refuse("not_found", what=_("page of the reading"), name=str(pk))
    path = files.path_of(reading.paper)
    kind = kind_of(path.read_bytes())
    name = f"{housing.serial} {reading.paper[:8]}.{SUFFIXES.get(kind, 'bin')}"
    return FileResponse(
        path.open("rb"), as_attachment=True, filename=name, content_type=kind or "application/octet-stream"
    )
