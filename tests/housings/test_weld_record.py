"""What was done at a joint, as the record book says it to people."""

from __future__ import annotations

from housings.models import Housing
from housings.operations.fire_watch import end_fire_watch
from shopqc import ledger
from shopqc.models import Shop
from shopqc.record_book import lines_of, read
from tests.factories import Floor
from tests.housings.at_a_joint import (
    GOOD_FIT_UP,
    ROSETTES,
    begin,
    done,
    drop,
    each_pass,
    fit_up,
    heat,
    later,
    settings,
    take_back,
)
from tests.housings.at_a_joint import read as reading


def newest(housing: Housing) -> str:
    line = lines_of(housing.chain)[0]
    return read(line).sentence


def test_every_step_at_a_joint_has_its_sentence(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    fit_up(floor, housing, figures={**GOOD_FIT_UP, "clean": "no"})
    assert newest(housing) == "The fit-up of Left snout to tube was not accepted."
    fit_up(floor, housing)
    assert newest(housing) == "The fit-up of Left snout to tube was accepted."
    settings(floor, housing)
    assert newest(housing) == "The machine was set for Left snout to tube."
    each_pass(floor, housing, "audit")
    assert newest(housing) == "Every pass of Left snout to tube is recorded with all its numbers: audit."
    each_pass(floor, housing, "")
    assert newest(housing) == "Passes of Left snout to tube are recorded by one tap again."
    heat(floor, housing, reading("400", crayon="above"), reading("610"))
    assert newest(housing) == "Left snout to tube was read: > 400 °F, 610 °F."
    begin(floor, housing, 1)
    assert newest(housing) == "Pass 1 of Left snout to tube was begun by stamp W1."
    drop(floor, housing)
    assert newest(housing) == "The arc at Left snout to tube was taken back; it was begun by mistake."
    done(floor, housing, 1, by="M1", welder="W1", figures={"amps": "230"})
    assert newest(housing) == (
        "Pass 1 of Left snout to tube was welded by stamp W1. It was outside its procedure: nonconformance 1."
    )
    take_back(floor, housing, 1, by="M1")
    assert newest(housing) == "Pass 1 of Left snout to tube was taken back: Tapped twice."
    done(floor, housing, 1, joint=ROSETTES, passes=4)
    assert newest(housing) == ("Passes 1, 2, 3, 4 of Rosettes of the left snout were welded by stamp W1.")
    floor.do(end_fire_watch, by="W1", at=later(floor, 60), found="A rag was warm.")
    assert read(lines_of(Shop.objects.get().chain)[0]).sentence == (
        "The fire watch after the last arc ended: A rag was warm."
    )
    done(floor, housing, 1, at=later(floor, 61))
    floor.do(end_fire_watch, by="W1", at=later(floor, 130))
    assert read(lines_of(Shop.objects.get().chain)[0]).sentence == (
        "The fire watch after the last arc ended; nothing was found."
    )
    assert ledger.verify().faults == ()
