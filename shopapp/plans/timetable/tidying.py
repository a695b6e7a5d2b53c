"""Searches for timetables that nobody looks at any more."""

from __future__ import annotations

from datetime import timedelta

from django.db.models import Exists, OuterRef
from django.utils import timezone

from shopapp.plans.models import TimetableSearch

KEPT_DAYS = 30


def forget_old_searches() -> int:
    """Drop searches that ended long ago and were followed by another of their key."""
    newer = TimetableSearch.objects.filter(key=OuterRef("key"), pk__gt=OuterRef("pk"))
    old = TimetableSearch.objects.filter(Exists(newer), ended_at__lt=timezone.now() - timedelta(days=KEPT_DAYS))
    return TimetableSearch.objects.filter(pk__in=list(old.values_list("pk", flat=True))).delete()[0]
