"""Makes the invented mill certificates of the demo: ``python -m fixtures_demo.mill_certificates``.

A page of text for each heat of steel and each lot of filler in ``heats.json``, as the plainest of PDFs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fixtures_demo.generate import HERE, load

DOCUMENTS = HERE / "documents"


def certificate_of(heat: Mapping[str, Any]) -> Path:
    """Where the certificate of a heat lies."""
    return DOCUMENTS / f"mill-{heat['number']}.pdf"


def lines_of(heat: Mapping[str, Any]) -> list[str]:
    """What stands on the certificate of a heat."""
    what = {"steel": "Heat", "filler": "Lot"}[heat["kind"]]
    condition = f", {heat['condition']}" if heat.get("condition") else ""
    return [
        f"{heat['supplier']}",
        f"Inspection certificate EN 10204 - {heat['certificate_type']}",
        "",
        f"{what} number   {heat['number']}",
        f"Grade         {heat['grade']}{condition}",
        f"Product       {heat['form']}, {heat['size']}",
        f"Quantity      {heat['quantity']}",
        "",
        "Composition, mass percent",
        *(f"    {symbol:<4}{percent}" for symbol, percent in heat["composition"].items()),
        "",
        "Invented for a demonstration. It certifies nothing.",
    ]


def pdf(lines: Sequence[str]) -> bytes:
    """One page of text in a fixed-width face that every reader has."""
    shown = "\n".join(f"({line.replace('(', '[').replace(')', ']')}) Tj T*" for line in lines)
    text = f"BT /F1 11 Tf 16 TL 72 720 Td\n{shown}\nET"
    objects = [
        "<< /Type /Catalog /Pages 2 0 R >>",
        "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R"
        " /Resources << /Font << /F1 5 0 R >> >> >>",
        f"<< /Length {len(text)} >>\nstream\n{text}\nendstream",
        "<< /Type /Font /Subtype /Type1 /BaseFont /Courier >>",
    ]
    content, places = "%PDF-1.4\n", []
    for number, one in enumerate(objects, start=1):
        places.append(len(content))
        content += f"{number} 0 obj\n{one}\nendobj\n"
    table = "".join(f"{place:010d} 00000 n \n" for place in places)
    size = len(objects) + 1
    start = len(content)
    content += f"xref\n0 {size}\n0000000000 65535 f \n{table}"
    content += f"trailer\n<< /Size {size} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n"
    return content.encode("ascii")


def main() -> None:
    for heat in load(HERE / "heats.json"):
        if heat.get("composition"):
            certificate_of(heat).write_bytes(pdf(lines_of(heat)))


if __name__ == "__main__":
    main()
