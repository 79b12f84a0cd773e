"""The harness itself: a test with real transactions leaves nothing, though sealed tables refuse deletion."""

import pytest
from django.db import DatabaseError, connection

from shopqc import append_only
from shopqc.models import LedgerEntry


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("time", ["first", "second"])
def test_the_rows_of_the_test_before_are_gone_and_the_seals_are_back(time):
    assert LedgerEntry.objects.count() == 0
    assert append_only.missing() == []
    LedgerEntry.objects.create(chain="shop:shop", position=1, line="{}", digest="0" * 64)
    with pytest.raises(DatabaseError, match="sealed"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM shopqc_ledgerentry")
