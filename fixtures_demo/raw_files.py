"""Raw readings as files: what a gauge, an indicator or a probe leaves behind, and how the demo reads it.

A folder holds one visit. ``readings.csv`` has a row for each single value
(``characteristic,gauge,value`` with ``value`` empty where a file of its own
holds the run); ``<characteristic>.csv`` has the rows of one run: ``x,y,z`` of
a probed face, ``clock,reading`` of an indicator, ``x,y`` of a hole.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

READINGS = "readings.csv"
RUN_COLUMNS = {"face_points": ("x", "y", "z"), "runout": ("clock", "reading"), "hole_center": ("x", "y")}


def write_visit(folder: Path, rows: Sequence[tuple[str, str, str, Any]]) -> None:
    """Write the readings of one visit: rows of characteristic, kind, gauge and raw reading."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / READINGS).open("w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["characteristic", "gauge", "value"])
        for code, kind, gauge, raw in rows:
            table.writerow([code, gauge, _single_value(kind, raw)])
            if kind in RUN_COLUMNS:
                _write_run(folder / f"{code}.csv", kind, raw)


def _single_value(kind: str, raw: Mapping[str, Any]) -> str:
    match kind:
        case "size":
            return str(raw["value"])
        case "go_no_go":
            return str(raw["result"])
    return ""


def _write_run(path: Path, kind: str, raw: Mapping[str, Any]) -> None:
    match kind:
        case "face_points":
            rows = raw["points"]
        case "runout":
            rows = list(enumerate(raw["readings"], start=1))
        case _:
            rows = [[raw["x"], raw["y"]]]
    with path.open("w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(RUN_COLUMNS[kind])
        table.writerows(rows)


def read_visit(folder: Path) -> list[dict[str, Any]]:
    """Read a visit's folder as readings for the API: characteristic, gauge and raw.

    Raises
    ------
    ValueError
        A file has other columns than its kind asks for; the sentence names it.
    """
    readings = []
    with (folder / READINGS).open(newline="") as file:
        for row in csv.DictReader(file):
            run = folder / f"{row['characteristic']}.csv"
            raw = _read_run(run) if run.exists() else _read_single(row["value"])
            readings.append(
                {"characteristic": row["characteristic"], "gauge": row["gauge"] or None, "raw": raw}
            )
    return readings


def _read_single(value: str) -> dict[str, str]:
    return {"result": value} if value in {"go", "no_go"} else {"value": value}


def _read_run(path: Path) -> dict[str, Any]:
    with path.open(newline="") as file:
        columns, *rows = list(csv.reader(file))
    match tuple(columns):
        case ("x", "y", "z"):
            return {"points": rows}
        case ("clock", "reading"):
            return {"readings": [reading for _clock, reading in rows]}
        case ("x", "y"):
            (center,) = rows
            return {"x": center[0], "y": center[1]}
    raise ValueError(f"{path} has the columns {', '.join(columns)}; no run has those.")
