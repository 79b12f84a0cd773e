"""Files that come with a form: kept, filed, and not lost when the form is shown again."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shopqc import files
from shopqc.doors import actor_at, run
from shopqc.forms import KeyedForm
from shopqc.operations.documents import BEGINNINGS, LARGEST, TAKEN, file_document, keep, kind_of
from shopqc.refusals import Refused

KEPT = "_kept"


class DocumentField(forms.FileField):
    """A document; beside it a hidden field remembers one that was filed before the form was refused."""

    def __init__(self, *, tables: bool = False, **kwargs: Any) -> None:
        taken = TAKEN if tables else tuple(BEGINNINGS)
        kwargs.setdefault(
            "help_text",
            _("PDF, JPEG, PNG or CSV, at most 10 MB.") if tables else _("PDF, JPEG or PNG, at most 10 MB."),
        )
        widget = forms.FileInput(attrs={"accept": ",".join(taken)})
        super().__init__(widget=widget, **kwargs)
        self.error_messages["empty"] = _("The file is empty.")
        self.tables = tables


class KeepsDocuments(KeyedForm):
    """A form with documents; `file_documents` puts their digests in place of what was sent."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.remember_documents()

    def remember_documents(self) -> None:
        """A hidden field beside each document; asked again if fields were added."""
        for name in self.document_names:
            hidden = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
            self.fields.setdefault(name + KEPT, hidden)

    @property
    def document_names(self) -> list[str]:
        return [name for name, field in self.fields.items() if isinstance(field, DocumentField)]

    def kept_words(self) -> list[str]:
        """Which documents are filed already, for the page that shows the form once more."""
        return [
            str(self.fields[name].label)
            for name in self.document_names
            if files.is_kept(str(self.data.get(self.add_prefix(name + KEPT), "")))
        ]


def file_documents(request: HttpRequest, form: KeepsDocuments) -> bool:
    """Keep and file what came with a valid form; false if one was refused, and the form says why.

    Afterwards ``form.cleaned_data`` has the digest of each document, or "".
    """
    for name in form.document_names:
        sent = form.cleaned_data.get(name)
        if not isinstance(sent, UploadedFile):
            before = form.cleaned_data.get(name + KEPT, "")
            form.cleaned_data[name] = before if files.is_kept(before) else ""
            continue
        try:
            digest = _filed(request, form, name, sent)
        except Refused as refused:
            form.add_error(name, " ".join(refused.sentences))
            continue
        given: Any = form.data
        data = given.copy()
        data[form.add_prefix(name + KEPT)] = digest
        form.data = data
        form.cleaned_data[name] = digest
    return not form.errors


def _filed(request: HttpRequest, form: KeepsDocuments, name: str, sent: UploadedFile) -> str:
    actor_at(request).check_may("file_document")
    content = sent.read(LARGEST + 1)
    field = form.fields[name]
    kind = kind_of(content)
    if kind not in BEGINNINGS and not (isinstance(field, DocumentField) and field.tables):
        kind = ""
    digest = keep(content, kind)
    # By its content: the same page sent again with another file files that one as well.
    filing = KeyedForm({"sent_key": f"{form.key[:60]} {digest[:30]}"})
    filing.is_valid()
    run(request, file_document, filing, sha256=digest, kind=kind, size=len(content))
    return digest
