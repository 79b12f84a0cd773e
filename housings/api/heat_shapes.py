"""What is answered about steel, filler and gas: plain data, public names, no primary keys."""

from __future__ import annotations

from typing import Any

from housings.engineering.parts import TracedPart
from housings.models import Heat, MaterialUse, Piece
from housings.steel_words import equivalents_of
from shopqc.canonical import moment


def heat_shape(heat: Heat) -> dict[str, Any]:
    """A heat as it is on file. Carbon equivalents are text, percent by mass, to two places."""
    recalled = None
    if heat.recalled_at:
        recalled = {
            "at": moment(heat.recalled_at),
            "by": heat.recalled_by,
            "why": heat.recalled_why,
        }
    return {
        "number": heat.number,
        "kind": heat.kind,
        "grade": heat.grade,
        "condition": heat.condition,
        "form": heat.form,
        "size": heat.size,
        "supplier": heat.supplier,
        "quantity": heat.quantity,
        "composition": heat.composition,
        "carbon_equivalents": equivalents_of(heat) or None,
        "certificate": heat.certificate or None,
        "certificate_type": heat.certificate_type or None,
        "note": heat.note,
        "received_at": moment(heat.received_at),
        "received_by": heat.received_by,
        "recalled": recalled,
        "record_position": heat.record_position,
    }


def piece_shape(piece: Piece) -> dict[str, Any]:
    """A piece that was cut."""
    return {
        "code": piece.code,
        "what": piece.what,
        "size": piece.size,
        "cut_from": piece.cut_from.code if piece.cut_from else None,
        "number_copied": piece.number_copied,
        "at": moment(piece.at),
        "by": piece.by_stamp,
    }


def made_of_shape(heat: Heat) -> dict[str, Any]:
    """What a customer may know of a heat that is in its housing."""
    return {
        "number": heat.number,
        "kind": heat.kind,
        "grade": heat.grade,
        "condition": heat.condition,
        "certificate_type": heat.certificate_type or None,
        "recalled": heat.recalled_at is not None,
    }


def part_shape(part: TracedPart, use: MaterialUse | None) -> dict[str, Any]:
    """A part of a housing with what is asked of its steel, and what counts now of what was recorded."""
    shape: dict[str, Any] = {
        "part": part.code,
        "name": part.name,
        "station": part.station,
        "asked": {"grade": part.grade, "condition": part.condition, "form": part.form},
        "recorded": None,
    }
    if use is not None:
        shape["recorded"] = {
            "id": str(use.pk),
            "heat": made_of_shape(use.heat),
            "piece": use.piece.code if use.piece else None,
            "visit": use.visit.number,
            "replaces": str(use.replaces_id) if use.replaces_id else None,
            "why": use.why,
            "at": moment(use.at),
            "by": use.by_stamp,
        }
    return shape
