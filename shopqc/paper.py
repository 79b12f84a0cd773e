"""Paper: a template with its style sheet becomes a PDF, out of nothing but bundled files."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.template.loader import get_template, render_to_string

if TYPE_CHECKING:
    from weasyprint import Document

FONTS = Path(__file__).resolve().parent / "static" / "shopqc" / "fonts"
SIZES = {"letter": "@page { size: letter }", "a4": "@page { size: A4 }"}
SHARED_STYLES = "shopqc/paper.css"
DENSITIES = ("roomy", "easy", "close", "tight", "dense", "packed", "packed brief")
"""How much room a one-page sheet gives its rows: classes of the body in its style sheet. Brief leaves out
what was read where work is done, because it stands in the record."""
SPILL = "packed spill"
"""A sheet of more pages, each with its head and number."""


def warm_up() -> None:
    """Load what drawing needs by drawing a word.

    A worker does this before its first task: a time limit that struck in the
    middle of the first import would leave half-loaded modules, and no task of
    that process could draw any more.
    """
    from weasyprint import HTML

    HTML(string="<p>ready</p>").write_pdf()


def pdf(template: str, context: Mapping[str, Any], paper: str) -> bytes:
    """Render a template as PDF.

    Parameters
    ----------
    template : str
        Such as ``housings/traveler.html``; its style sheet stands beside it, named ``.css``.
    context : mapping
        What the template shows. The same context gives the same bytes on one machine.
    paper : str
        ``letter`` or ``a4``.

    Raises
    ------
    KeyError
        For another paper.
    weasyprint.urls.FatalURLFetchingError
        If the page asks for anything but a bundled font or a ``data:`` address.
    """
    made: bytes = _laid_out(template, context, paper).write_pdf()
    return made


@dataclass(frozen=True)
class Sheet:
    """A PDF that was made to fit one page: its bytes, how many pages it took, which density was taken."""

    content: bytes
    pages: int
    density: str


def pdf_on_one_page(template: str, context: Mapping[str, Any], paper: str, try_first: str = "") -> Sheet:
    """Render a template as PDF with the roomiest ``density`` of `DENSITIES` that needs one page.

    If none does, it is laid out once more as `SPILL`, over as many pages as it takes: two clean pages are
    better than a sheet with a part cut off. ``try_first`` is a density that was right for a sheet of the
    same rows: each trial lays the whole sheet out, which takes a second or so. Otherwise as `pdf`.
    """
    if try_first:
        document = _laid_out(template, {**context, "density": try_first}, paper)
        if try_first == SPILL or len(document.pages) == 1:
            return Sheet(document.write_pdf(), len(document.pages), try_first)
    fitting: tuple[Document, str] | None = None
    low, high = 0, len(DENSITIES)
    while low < high:
        middle = (low + high) // 2
        document = _laid_out(template, {**context, "density": DENSITIES[middle]}, paper)
        if len(document.pages) == 1:
            fitting, high = (document, DENSITIES[middle]), middle
        else:
            low = middle + 1
    document, density = fitting or (_laid_out(template, {**context, "density": SPILL}, paper), SPILL)
    return Sheet(document.write_pdf(), len(document.pages), density)


def joined(parts: Iterable[bytes], *, fresh_sheets: bool = False, title: str = "") -> bytes:
    """Several PDFs as one; with ``fresh_sheets`` each begins on a sheet of its own, printed on both sides."""
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter()
    for part in parts:
        if fresh_sheets and len(writer.pages) % 2:
            writer.add_blank_page()
        writer.append(PdfReader(io.BytesIO(part)), import_outline=False)
    # Each part brings its fonts along; they are kept once.
    writer.compress_identical_objects()
    if title:
        writer.add_metadata({"/Title": title})
    made = io.BytesIO()
    writer.write(made)
    return made.getvalue()


def _laid_out(template: str, context: Mapping[str, Any], paper: str) -> Document:
    # Imported here: the web process needs no text libraries, and a worker loads them after its fork.
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OnlyBundled(URLFetcher):
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
            if not url.startswith("data:") and not _is_bundled(url):
                raise FatalURLFetchingError(f"Paper is made of bundled files only, not of {url}")
            return super().fetch(url, headers)

    fonts, fetcher = FontConfiguration(), OnlyBundled(allowed_protocols={"file", "data"})
    styles = [_source(SHARED_STYLES), SIZES[paper], _source(str(Path(template).with_suffix(".css")))]
    return HTML(string=render_to_string(template, dict(context)), url_fetcher=fetcher).render(
        stylesheets=[
            CSS(string=style, base_url=f"{FONTS.as_uri()}/", font_config=fonts, url_fetcher=fetcher)
            for style in styles
        ],
        font_config=fonts,
    )


def _is_bundled(url: str) -> bool:
    return any(url == path.as_uri() for path in FONTS.iterdir())


def _source(name: str) -> str:
    """A style sheet of a template folder as it stands there."""
    template: Any = get_template(name)
    return str(template.template.source)
