"""A token bucket a key, kept in the database so that every server process counts alike."""

from __future__ import annotations

import hashlib
from datetime import timedelta

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from .models import ThrottleBucket


def allow(key: str, *, capacity: int, refill_seconds: float) -> bool:
    """Take one try from the bucket of ``key``: ``capacity`` tries at once, one more every ``refill_seconds``."""
    hashed = hashlib.sha256(key.encode()).hexdigest()
    now = timezone.now()
    with transaction.atomic():
        bucket, made = ThrottleBucket.objects.select_for_update().get_or_create(
            key=hashed, defaults={"tokens": capacity - 1, "counted_at": now}
        )
        if made:
            return True
        waited = max(0.0, (now - bucket.counted_at).total_seconds())
        tokens = min(float(capacity), bucket.tokens + waited / refill_seconds)
        allowed = tokens >= 1
        bucket.tokens = tokens - 1 if allowed else tokens
        bucket.counted_at = now
        bucket.save()
    return allowed


def forget_old_buckets(*, older_than: timedelta = timedelta(days=2)) -> int:
    """Buckets so old that they are full again are of no use."""
    return ThrottleBucket.objects.filter(counted_at__lt=timezone.now() - older_than).delete()[0]


def client_address(request: HttpRequest) -> str:
    """The address a request came from. Only the shop's own proxies are believed, from the right."""
    forwarded = [part.strip() for part in request.headers.get("X-Forwarded-For", "").split(",") if part.strip()]
    if settings.TRUSTED_PROXIES and len(forwarded) >= settings.TRUSTED_PROXIES:
        return forwarded[-settings.TRUSTED_PROXIES]
    return request.META.get("REMOTE_ADDR", "")
