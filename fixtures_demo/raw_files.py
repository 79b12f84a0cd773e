"""Raw readings as files: what gauges, indicators and probes leave behind, and how the demo reads it.

A folder holds one visit. ``readings.csv`` is the sheet: a row for each characteristic with its gauge, and
either its value or the file that holds its run. ``set-up.json`` says how warm part and air were, and for each
file what else took part (supports, bar, master); ``work.json`` describes the work itself, ``welds.json`` says
what was recorded of its welds (`weld_work`). Files of runs are known by their columns:

- ``feature,x,y,z``: a program of the probe; one for all that it measured
- ``clock,reading``: an indicator over one turn, 12 o'clock first
- ``station,forward,up``: offsets from an alignment bar; with ``bore``, along the bores of one end
- ``place,diameter`` and ``place,difference``: a journal, or how much larger it is than its master
- ``minute,pressure,temperature``: a leak test, psi and °F
- ``go,no_go_turns`` and ``turns``: what thread plugs said
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

SHEET, SET_UP, WORK, WELDS = "readings.csv", "set-up.json", "work.json", "welds.json"
SHEET_COLUMNS = ("characteristic", "kind", "gauge", "value", "file")
PROBE_COLUMNS = ("feature", "x", "y", "z")

Rows = Sequence[Sequence[str]]


@dataclass
class VisitFiles:
    """What one visit leaves: rows of the sheet, files of runs (columns and rows by name), and its set-up."""

    sheet: list[tuple[str, ...]] = field(default_factory=list)
    runs: dict[str, tuple[tuple[str, ...], Rows]] = field(default_factory=dict)
    set_up: dict[str, Any] = field(default_factory=dict)

    def write(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        _write(folder / SHEET, SHEET_COLUMNS, self.sheet)
        for name, (columns, rows) in self.runs.items():
            _write(folder / name, columns, rows)
        (folder / SET_UP).write_text(json.dumps(self.set_up, indent=1, sort_keys=True) + "\n")


def _write(path: Path, columns: Sequence[str], rows: Rows) -> None:
    with path.open("w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(columns)
        table.writerows(rows)


def read_visit(folder: Path) -> list[dict[str, Any]]:
    """Read a visit's folder as readings for the API: characteristic, gauge, raw, temperature and set-up.

    Raises
    ------
    ValueError
        A file has other columns than any run; the sentence names it.
    """
    set_up = json.loads((folder / SET_UP).read_text())
    columns, *rows = _read(folder / SHEET)
    if tuple(columns) != SHEET_COLUMNS:
        raise ValueError(f"{folder / SHEET} has the columns {', '.join(columns)}.")
    readings = []
    for code, kind, gauge, value, name in rows:
        reading: dict[str, Any] = {
            "characteristic": code,
            "gauge": gauge or None,
            "raw": _run(folder / name, kind) if name else _single(kind, value),
        }
        if gauge and "temperature" in set_up:
            reading["temperature"] = set_up["temperature"]
            reading["setup"] = {**set_up["setup"], **set_up["files"].get(name, {})}
        readings.append(reading)
    return readings


def read_work(folder: Path) -> dict[str, str]:
    """How the work of a visit was described; empty where nobody did."""
    path = folder / WORK
    said: dict[str, str] = json.loads(path.read_text()) if path.exists() else {}
    return said


def read_welds(folder: Path) -> list[dict[str, Any]]:
    """What was recorded of the welds of a visit, in its order; empty where nothing was welded."""
    path = folder / WELDS
    events: list[dict[str, Any]] = json.loads(path.read_text()) if path.exists() else []
    return events


def _read(path: Path) -> list[list[str]]:
    with path.open(newline="") as file:
        return list(csv.reader(file))


def _single(kind: str, value: str) -> dict[str, str]:
    return {"result": value} if kind == "go_no_go" else {"value": value}


def _run(path: Path, kind: str) -> dict[str, Any]:
    columns, *rows = _read(path)
    if tuple(columns) == PROBE_COLUMNS:
        return _probed(kind, rows)
    named = {column: [row[place] for row in rows] for place, column in enumerate(columns)}
    reader = RUNS.get(tuple(columns))
    if reader is None:
        raise ValueError(f"{path} has the columns {', '.join(columns)}; no run has those.")
    return reader(named)


def _probed(kind: str, rows: Rows) -> dict[str, Any]:
    """What a characteristic takes of a program of the probe."""
    points: dict[str, list[list[str]]] = {}
    for feature, *point in rows:
        points.setdefault(feature, []).append(list(point))
    match kind:
        case "face_points":
            return {"points": points["face"]}
        case "hole_pattern":
            return {"holes": [[x, y] for x, y, _z in points["holes"]]}
        case "pilot_to_axis":
            return {name: points[name] for name in ("bore", "left", "right", "face")}
    return {name: points[name] for name in ("face", "left", "right")}


RUNS: Mapping[tuple[str, ...], Callable[[dict[str, list[str]]], dict[str, Any]]] = {
    ("clock", "reading"): lambda run: {"readings": run["reading"]},
    ("station", "forward", "up"): lambda run: {"z": run["station"], "x": run["forward"], "y": run["up"]},
    ("station", "forward", "up", "bore"): lambda run: {
        "z": run["station"],
        "x": run["forward"],
        "y": run["up"],
        "bore": run["bore"],
    },
    ("place", "diameter"): lambda run: {"values": run["diameter"]},
    ("place", "difference"): lambda run: {"differences": run["difference"]},
    ("minute", "pressure", "temperature"): lambda run: {
        "minutes": run["minute"],
        "pressures": run["pressure"],
        "temperatures": run["temperature"],
        "unit": "psi",
        "temperature_unit": "F",
    },
    ("go", "no_go_turns"): lambda run: {"go": run["go"][0], "no_go_turns": run["no_go_turns"][0]},
    ("turns",): lambda run: {"turns": run["turns"][0]},
}
