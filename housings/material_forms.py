"""Scanning the steel of a housing's parts: one field a part."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.parts import TracedPart
from housings.heat_data import LONGEST_CODE
from housings.heat_forms import code_field
from housings.material_queries import scanned
from housings.models import Heat, MaterialUse, Piece
from shopqc.forms import KeyedForm
from shopqc.refusals import Reason

# What a scanner or a hand may add in spaces.
MOST_TYPED = 2 * LONGEST_CODE


class ScanForm(KeyedForm):
    """What was scanned for each of some parts; ``why`` for those that were joined before or are corrected."""

    def __init__(
        self,
        parts: Sequence[TracedPart],
        known: MaterialUse | None,
        needs_why: bool,
        *args: Any,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.parts, self.known = parts, known
        for place, part in enumerate(parts):
            field = code_field(_(part.name), MOST_TYPED, required=False, help_text=asked_words(part))
            if not place:
                field.widget.attrs |= {"data-scan": True, "data-focus-quietly": True}
            self.fields[f"part_{part.code}"] = field
        if needs_why:
            self.fields["why"] = code_field(gettext_lazy("Why only now, or why another"), 500, required=False)
            self.fields["why"].widget.attrs = {"autocomplete": "off"}

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        self.materials: list[dict[str, Any]] = []
        for part in self.parts:
            name = f"part_{part.code}"
            typed = str(data.get(name) or "").strip()
            if not typed:
                continue
            found = scanned(typed)
            if found is None:
                said = _(
                    "No heat and no piece is on file as %(typed)s. Compare it, or receive the heat first."
                )
                self.add_error(name, said % {"typed": typed})
                continue
            self.materials.append(self._one(part, found))
        if not self.errors and not self.materials:
            self.add_error(None, _("Scan or type at least one."))
        return data

    def _one(self, part: TracedPart, found: Heat | Piece) -> dict[str, Any]:
        one: dict[str, Any] = {"part": part.code}
        one |= {"piece": found.code} if isinstance(found, Piece) else {"heat": found.number}
        if why := str(self.data.get(self.add_prefix("why"), "")).strip()[:500]:
            one["why"] = why
        if self.known is not None:
            one["replaces"] = str(self.known.pk)
        return one

    def say(self, reasons: Iterable[Reason]) -> None:
        """Put each reason beside the part it is about."""
        for reason in reasons:
            steps = (reason.field or "").split("/")
            if len(steps) == 4 and steps[1] == "materials" and steps[2].isdigit():
                name = f"part_{self.materials[int(steps[2])]['part']}"
                is_why = steps[3] == "why" and "why" in self.fields
                self.add_error("why" if is_why else name, reason.sentence)
            else:
                super().say([reason])


def asked_words(part: TracedPart) -> str:
    """What the build spec asks of a part's steel: "4130, normalised, tube"."""
    return ", ".join(_(word) for word in (part.grade, part.condition, part.form) if word)
