"""Reading a certificate's text as a person would: word by word, whatever the lines are broken into."""

from __future__ import annotations

import io
import unicodedata
from typing import Any

from pypdf import PdfReader


def squeezed(text: object) -> str:
    """Text without any white space, ligatures written out: what is left when lines are broken anywhere."""
    return "".join(unicodedata.normalize("NFKC", str(text)).split())


class Paper:
    """The text of a PDF, read from its start to its end."""

    def __init__(self, pdf: bytes) -> None:
        self.text = squeezed("".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))

    def says(self, text: object) -> bool:
        return squeezed(text) in self.text

    def row_of(self, name: str, following: str | None, after: int) -> tuple[str, int]:
        """The text from a row's name to the next one's, and where it begins."""
        start = self.text.index(squeezed(name), after)
        end = self.text.index(squeezed(following), start + 1) if following else len(self.text)
        return self.text[start:end], start


def missing_from(paper: Paper, facts: dict[str, Any]) -> list[str]:
    """What the facts say and the paper does not."""
    missing: list[str] = []

    def want(*texts: object) -> None:
        missing.extend(str(text) for text in texts if not paper.says(text))

    housing, signed = facts["housing"], facts["signed"]
    want(facts["number"], facts["code"], housing["serial_grouped"], facts["shop"]["name"])
    want(*facts["shop"]["address"].splitlines())
    want(facts["issued_for"]["customer"], facts["issued_for"]["order"])
    want(signed["name"], signed["role"], f"stamp {signed['stamp']}", signed["exception"])
    want(facts["verdict"]["word"].capitalize(), facts["verdict"]["sentence"])
    want(*(f"{label}{value}" for label, value in housing["spec"]))
    for sentences in ("not_recorded", "limits_of_this_paper", "cautions", "decision_rules"):
        want(*facts[sentences])
    for step in facts["route"]:
        want(step["name"])
    for found in facts["dispositions"]:
        want(f"Nonconformance {found['nonconformance']} of this housing: {found['what']}")
        want(f"{found['decision'].capitalize()}: {found['reason']}", f"stamp {found['by']}")
    return missing + _missing_results(paper, facts)


def _missing_results(paper: Paper, facts: dict[str, Any]) -> list[str]:
    rows = [row for group in facts["results"] for row in group["rows"]]
    missing, after = [], paper.text.index(squeezed("What was measured"))
    for row, following in zip(rows, [*rows[1:], None], strict=True):
        name = following["name"] if following else None
        text, after = paper.row_of(row["name"], name, after)
        found = row["found"] + row["unit"]
        stamp = f"stamp {row['stamp']}, {row['station']}"
        for wanted in (row["asked"] + found, row["verdict_word"], row["gauge"], stamp):
            if squeezed(wanted) not in text:
                missing.append(f"{row['name']}: {wanted}")
        # A note that several rows share is printed at the first of them.
        if not paper.says(row["note"]):
            missing.append(f"{row['name']}: {row['note']}")
        if row["from_axis"] is False and squeezed("Not measured from axis A-B.") not in text:
            missing.append(f"{row['name']}: not measured from the axis")
    return missing
