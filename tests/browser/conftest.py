"""A shop floor of today, for browsers and servers that live in real time."""

from __future__ import annotations

import shutil

import pytest
from django.conf import settings
from django.utils import timezone

from tests.factories import Floor


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    """The shop floor, now; no file is left from the test before."""
    shutil.rmtree(settings.FILE_STORE, ignore_errors=True)
    return Floor(at=timezone.now())
