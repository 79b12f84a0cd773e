"""Traveler and certificate as PDF, read back by another library."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.utils.html import format_html
from pypdf import PdfReader
from weasyprint.urls import FatalURLFetchingError

from shopqc import paper
from tests.look import samples


def read(made: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(made))


def text_of(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def certificate(facts: dict[str, Any], size: str = "letter") -> bytes:
    context = {"facts": facts, "qr": samples.code(facts["public_address"])}
    return paper.pdf("inspections/certificate.html", context, size)


def traveler(sheet: dict[str, Any], size: str) -> bytes:
    context = {"sheet": sheet, "qr_svg": samples.code("https://floor.quarryroad.example/h/KR000123H7")}
    return paper.pdf_on_one_page("housings/traveler.html", context, size).content


# Sizes: ANSI Y14.1 size A (8.5 by 11 in) and ISO 216 A4 (210 by 297 mm), from memory; 1 point = 1/72 in.
@pytest.mark.parametrize(
    ("size", "width", "height"), [("letter", 612, 792), ("a4", 210 / 25.4 * 72, 297 / 25.4 * 72)]
)
@pytest.mark.parametrize(("stations", "asks"), [(3, 2), (9, 4), (12, 3), (19, 2)])
def test_a_traveler_takes_one_page(size: str, width: float, height: float, stations: int, asks: int) -> None:
    reader = read(traveler(samples.sheet(stations, asks), size))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((width, height), abs=0.5)
    text = text_of(reader)
    assert "KR 000 123-H7" in text
    assert "Żelazny" in text
    for station in samples.sheet(stations)["stations"]:
        assert station["name"].split()[-1] in text


def test_a_traveler_that_cannot_fit_goes_on_to_a_second_page() -> None:
    reader = read(traveler(samples.sheet(19, 12), "letter"))
    assert len(reader.pages) > 1
    assert text_of(reader).count("may be up to 0.004") == 19 * 12


def test_paper_embeds_its_own_type_and_no_other() -> None:
    for made in (certificate(samples.facts()), traveler(samples.sheet(9, 2), "a4")):
        names = set()
        for page in read(made).pages:
            for font in page["/Resources"]["/Font"].values():
                descriptor = (
                    font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
                )
                assert "/FontFile2" in descriptor or "/FontFile3" in descriptor
                names.add(font.get_object()["/BaseFont"].partition("+")[2])
        assert names
        assert all(name.startswith(("Shop-Text", "Shop-Mono")) for name in names), names


@pytest.mark.parametrize(
    "address", ["https://example.org/a.png", "file:///etc/hostname", f"{paper.FONTS.as_uri()}/../shop.css"]
)
def test_paper_fetches_nothing_but_bundled_files(address: str) -> None:
    picture = format_html("<img src='{}'>", address)
    with pytest.raises(FatalURLFetchingError):
        paper.pdf("housings/traveler.html", {"sheet": samples.sheet(3), "qr_svg": picture}, "a4")


def test_paper_refuses_a_size_it_does_not_know() -> None:
    with pytest.raises(KeyError):
        paper.pdf("housings/traveler.html", {"sheet": samples.sheet(3)}, "legal")


def test_the_certificate_says_its_facts() -> None:
    facts = samples.facts()
    text = text_of(read(certificate(facts)))
    for said in (
        "C-000017",
        "KR 000 123-H7",
        "Meets its build spec",
        "Juniper Trail <Trucks>",
        "Ines Okafor",
        "The signer also measured the left journal.",
        facts["code"],
        "Nonconformance 2 of this housing",
        "agreed in concession 12",
        "Preheat and interpass temperatures.",
        "It does not say that the housing is safe to use.",
        "due 1 Sep 2031",
        "9 Mar 2031, 14:02 UTC",
    ):
        assert said in text, said
    for row in facts["results"][0]["rows"]:
        whole, _, fraction = row["found"].partition(".")
        assert f"{whole}.{fraction}" in text.replace(f"{whole} .{fraction}", row["found"])


def test_only_what_was_not_measured_from_the_axis_says_so() -> None:
    facts = samples.facts()
    text = text_of(read(certificate(facts)))
    assert (text.count("Not measured from axis A-B."), text.count("From axis A-B.")) == (1, 1)
    facts["results"][0]["rows"][2]["from_axis"] = "A-B"
    assert "Not measured from axis A-B." not in text_of(read(certificate(facts)))


def test_each_page_of_the_certificate_names_it_and_counts() -> None:
    facts = samples.facts()
    facts["results"][0]["rows"] *= 20
    pages = read(certificate(facts, "a4")).pages
    assert len(pages) > 3
    for number, page in enumerate(pages, start=1):
        text = " ".join(page.extract_text().split())
        assert "certificate C-000017, revision 1" in text
        assert f"page {number} of {len(pages)}" in text


def test_the_same_facts_make_the_same_bytes() -> None:
    assert certificate(samples.facts()) == certificate(samples.facts())
