"""One page at the bench for all jobs that are begun: their cards by time, what is in clamps, what gets in the way."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.tonight.readers import tonight_of
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work

pytestmark = pytest.mark.django_db
PAGE = reverse("jobs:tonight")


@pytest.fixture
def plan(owner):
    bench.all_day(owner)
    return work.kept(owner)


def now_of(at=None):
    return tonight_of(at or timezone.localtime(), the_workshop())
