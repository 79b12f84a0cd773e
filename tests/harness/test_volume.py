"""The harness itself: copies in bulk are as complete as the housing they copy, and quick to make."""

import pytest

from housings import gate
from housings.models import Housing, Visit
from inspections.models import Certificate, Characteristic, IssueJob, Reading
from inspections.queries import Measured
from shopqc.models import LedgerEntry
from tests.factories import Floor
from tests.volume import many_like


@pytest.mark.django_db
def test_copies_have_everything_the_original_has():
    floor = Floor()
    original = floor.housing(until="signed")
    copied = many_like(original, 20)
    assert len(set(copied)) == 20
    for model in (Visit, Characteristic, Reading, Certificate):
        of_one = model.objects.filter(housing=original).count()
        assert of_one
        assert model.objects.count() == 21 * of_one
    assert IssueJob.objects.count() == 21
    lines = LedgerEntry.objects.filter(chain=original.chain).count()
    assert LedgerEntry.objects.filter(chain__startswith="housing:VOL").count() == 20 * lines
    copy = Housing.objects.get(serial=copied[-1])
    standings = Measured(gate.Situation(copy)).standings.values()
    assert {standing.state for standing in standings} == {
        standing.state for standing in floor.measured(original).standings.values()
    }
    assert all(standing.reading.visit.housing_id == copy.pk for standing in standings if standing.reading)


@pytest.mark.django_db
def test_a_copy_on_the_floor_goes_on_like_any_other():
    floor = Floor()
    original = floor.housing(until="jig")
    (serial,) = many_like(original, 1)
    copy = Housing.objects.get(serial=serial)
    visit = Visit.objects.get(housing=copy, station="jig")
    floor.finish(copy, visit)
    visit.refresh_from_db()
    assert visit.left_at is not None
