"""What every capability stands on: edit versions, the audit trail, one-use keys, stored files, letters, the worker's
beat."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Record(models.Model):
    """A row that people edit. ``edit_version`` goes up with every change, so that the second of two who edit
    at once is told instead of overwriting the first."""

    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    edit_version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True


class AuditLine(models.Model):
    """One sentence about one change. Append-only: a trigger refuses to change or delete it; an erasure alone may strike
    a name out of the sentence."""

    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    what = models.CharField(max_length=400)
    kind = models.CharField(max_length=60, blank=True)
    key = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["kind", "key"])]

    def __str__(self) -> str:
        return self.what


class SpentKey(models.Model):
    """A form's one-use key, spent in the same transaction as what the form did."""

    key = models.CharField(max_length=64, primary_key=True)
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.key


class ThrottleBucket(models.Model):
    """How many tries are left for a hashed key, and when they were last counted."""

    key = models.CharField(max_length=64, primary_key=True)
    tokens = models.FloatField()
    counted_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.key


class StoredFile(models.Model):
    """A file under FILES, named by us. The file is written and flushed before its row."""

    name = models.CharField(max_length=80, unique=True)
    sha256 = models.CharField(max_length=64)
    size = models.PositiveIntegerField()
    stored_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name


class StoredImage(StoredFile):
    """A picture decoded and written afresh as PNG; never the bytes as they came."""

    purpose = models.CharField(max_length=40)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()


class StoredDocument(StoredFile):
    """A paper made by the worker."""

    title = models.CharField(max_length=160)
    media_type = models.CharField(max_length=80, default="application/pdf")


class TakenAway(models.Model):
    """A stored file whose bytes an erasure destroyed. Its own row stays, with its hash and its day. Append-only."""

    name = models.CharField(max_length=80, unique=True)
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class PrivateLink(models.Model):
    """A link for somebody without a name and password: a random token of 256 bits, of which only the hash is kept.

    ``subject`` is the opaque key of what it opens ("quote 12"). It opens nothing once it has expired or is revoked.
    """

    sha256 = models.CharField(max_length=64, unique=True)
    subject = models.CharField(max_length=60, db_index=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"A link to {self.subject}"


class Letter(models.Model):
    """A letter the worker is to send, and what came of it. ``subject`` is the opaque key of what it is about, ``about``
    says which letter; ``link`` is the one that stands in it. Address and words are what an erasure takes away."""

    subject = models.CharField(max_length=60, db_index=True)
    about = models.CharField(max_length=40)
    to = models.CharField(max_length=254)
    words = models.CharField(max_length=1200, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)
    task = models.CharField(max_length=64, blank=True)
    # Begun and neither sent nor failed: it ended half-way, and whether it went out is not known.
    begun_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    failed = models.CharField(max_length=400, blank=True)
    link = models.ForeignKey(PrivateLink, models.PROTECT, null=True, related_name="letters")

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"A letter about {self.subject}"


class WorkerBeat(models.Model):
    """The sign of life of a worker; tasks of a worker without one are taken up again."""

    worker = models.CharField(max_length=120, primary_key=True)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return self.worker
