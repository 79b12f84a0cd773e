"""The photograph of the page that readings are copied from."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils import timezone

from inspections.forms.readings import ReadingForm
from inspections.pages.entry import kept
from shopqc.doors import actor_at
from shopqc.operations.documents import file_document, keep
from shopqc.refusals import Refused


def file_page(request: HttpRequest, form: ReadingForm) -> dict[str, str] | None:
    """What the readings say of their page, a new photograph being filed first; None if the form says why not.

    Filing is an operation of its own, before the readings that name it: a photograph that nothing names is no
    harm, a reading that names one which is not there would be.
    """
    photo = form.cleaned_data.get("photo")
    if photo is None:
        return form.page_said(kept.paper_of(request)["paper"])
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
            key=f"{form.key[:90]}:page",
        )
    except Refused as refused:
        form.add_error("photo", " ".join(refused.sentences))
        form.status = refused.status
        return None
    return form.page_said(digest)
