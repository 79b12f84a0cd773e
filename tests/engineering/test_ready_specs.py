"""A first order begins with a spec that fits."""

from __future__ import annotations

import pytest

from housings.engineering.fit_rules import reasons_against
from housings.engineering.ready_specs import READY, ReadySpec
from housings.engineering.spec import spec_from


@pytest.mark.parametrize("ready", READY.values(), ids=READY)
def test_a_ready_spec_fits_by_the_rules_that_refuse_orders(ready: ReadySpec) -> None:
    spec = spec_from(dict(ready.spec))
    assert reasons_against(spec) == ()
    # A 4 in housing is 4130 throughout, and the tube never is plain carbon steel: common practice, no source.
    assert spec.tube_grade == "4130"
    assert ready.name.startswith(format(spec.tube_od, "f"))
