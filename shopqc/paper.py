"""Paper: a template with its style sheet becomes a PDF, out of nothing but bundled files."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.template.loader import get_template, render_to_string

if TYPE_CHECKING:
    from weasyprint import Document

FONTS = Path(__file__).resolve().parent / "static" / "shopqc" / "fonts"
SIZES = {"letter": "@page { size: letter }", "a4": "@page { size: A4 }"}
SHARED_STYLES = "shopqc/paper.css"
DENSITIES = ("roomy", "easy", "close", "tight", "dense", "packed")
"""How much room a one-page sheet gives its rows; each is a class of the body in its style sheet."""


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


def pdf_on_one_page(
    template: str, context: Mapping[str, Any], paper: str, roomiest: str = DENSITIES[0]
) -> bytes:
    """Render a template as PDF with the first ``density`` of `DENSITIES` that needs one page.

    If none does, the last one is taken: two pages are better than a sheet with a part cut off.
    ``roomiest`` is the first one to try: each trial lays the whole sheet out, which takes a second or so.
    Otherwise as `pdf`.
    """
    for density in DENSITIES[DENSITIES.index(roomiest) :]:
        document = _laid_out(template, {**context, "density": density}, paper)
        if len(document.pages) == 1:
            break
    made: bytes = document.write_pdf()
    return made


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
