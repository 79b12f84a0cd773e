"""Invented contents for paper."""

from __future__ import annotations

from typing import Any

import segno
from django.utils.safestring import SafeString, mark_safe

from housings.engineering.stations import STATIONS

SHOP = {"name": "Quarry Road Axle Works", "address": "14 Quarry Road\nMesa Flats"}
SPEC = [
    ["Tube", "4 in × 0.500 in, 4130 normalised"],
    ["Snouts", "2.5 in bearing, 4140"],
    ["Width", "64.750 in"],
]


def code(address: str) -> SafeString:
    return mark_safe(segno.make(address, error="q", micro=False).svg_inline(omitsize=True))


def sheet(stations: int, asks: int = 0) -> dict[str, Any]:
    """A traveler of so many stations, each asking for so many readings."""
    ask = {"name": "Flatness of the face", "limit": "may be up to 0.004", "unit": "in"}
    return {
        "shop": SHOP,
        "serial": "KR000123H7",
        "serial_grouped": "KR 000 123-H7",
        "order": {
            "number": "2031-0042",
            "customer": "Nørrland Żelazny Drivetrain and Fabrication Cooperative",
            "reference": "PO 7781",
            "due": "2031-03-12",
        },
        "spec": SPEC,
        "stations": [
            {"name": station.name, "code": station.code, "state": "ahead", "note": "", "asks": [ask] * asks}
            for station in list(STATIONS.values())[:stations]
        ],
        "cautions": sorted({caution for station in STATIONS.values() for caution in station.cautions}),
        "floor_address": "https://floor.quarryroad.example",
        "printed_at": "2031-02-03T08:12:00+00:00",
    }


def row(name: str, found: str, unit: str, **more: object) -> dict[str, Any]:
    return {
        "name": name,
        "asked": "may be up to 0.005",
        "found": found,
        "unit": unit,
        "verdict": "pass",
        "verdict_word": "pass",
        "gauge": "Surface indicator 3",
        "gauge_due": "2031-09-01",
        "stamp": "W7",
        "measured_at": "2031-03-09T14:02:00+00:00",
        "station": "Final inspection",
        "from_axis": None,
        "note": "",
        **more,
    }


def facts() -> dict[str, Any]:
    return {
        "number": "C-000017",
        "revision": 1,
        "code": "7Q2M-94XD-K0TR-5HZB-W8NV-31CE",
        "issued_for": {"customer": "Juniper Trail <Trucks>", "order": "2031-0042"},
        "housing": {"serial": "KR000123H7", "serial_grouped": "KR 000 123-H7", "spec": SPEC},
        "shop": SHOP,
        "signed": {
            "name": "Ines Okafor",
            "role": "QC lead",
            "stamp": "Q2",
            "at": "2031-03-09T16:40:00+00:00",
            "exception": "The signer also measured the left journal.",
        },
        "verdict": {"word": "Meets its build spec", "sentence": "Each feature lies within its limits."},
        "results": [
            {
                "part": "Face",
                "rows": [
                    row("Flatness of the face", "0.0034", "in"),
                    row("Distance to axis A-B", "12.5021", "in", from_axis="A-B"),
                    row("Pilot bore", "9.2512", "in", from_axis=False),
                ],
            },
            {"part": "Welds", "rows": [row("Rib welds inside", "complete", "")]},
        ],
        "dispositions": [
            {
                "nonconformance": 2,
                "what": "Hole 7 is 0.0162 in out of position.",
                "decision": "Use as is",
                "reason": "agreed in concession 12",
                "by": "E1",
                "credential": "licensed engineer 4411",
                "at": "2031-03-08T09:00:00+00:00",
            }
        ],
        "not_recorded": ["Preheat and interpass temperatures."],
        "route": [{"name": "Jig", "done_at": "2031-02-03T15:00:00+00:00", "stamp": "W1"}],
        "limits_of_this_paper": ["It does not say that the housing is safe to use."],
        "cautions": ["Follow the shop's written procedures."],
        "public_address": "https://check.quarryroad.example/c/7Q2M94XDK0TR5HZBW8NV31CE",
    }
