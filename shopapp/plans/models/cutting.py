"""Which board gives which strip: the search while it runs, and the sheet that was kept of it.

Money here is whole numbers of 1/10000 of the shop's currency, as the cut plan counts it; ``MONEY_PLACES`` of them.
"""

from __future__ import annotations

import hashlib
import json
from decimal import Decimal

from django.db import models

from .plans import canonical

MONEY_PLACES = 4


def sheet_fingerprint(form: str, set_ups: str, pieces: list) -> str:
    """The hash of everything a cut sheet says."""
    return hashlib.sha256(f"{form}\n{set_ups}\n{canonical(pieces)}".encode()).hexdigest()


def in_money(units: int | None) -> Decimal | None:
    """1/10000 of the currency as an amount; None stays None."""
    return None if units is None else Decimal(units).scaleb(-MONEY_PLACES)


class _Cut(models.Model):
    """What search and sheet have in common. ``key`` is opaque: whoever wants the boards cut gave it with a label.

    ``pieces`` are the stock pieces the boards of the job are, as they were seen: a list of objects with ``mark``,
    ``pk``, ``version`` (the piece's edit version), ``wood``, ``thickness``, ``width`` and ``length`` in nanometres,
    ``surfaced``, ``worth`` as text, ``shade`` and ``offcut``.
    """

    key = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="+")
    wishes = models.JSONField(default=dict)
    pieces = models.JSONField(default=list)
    cost = models.BigIntegerField(null=True)
    # None where nothing is proved yet.
    floor = models.BigIntegerField(null=True)
    currency_symbol = models.CharField(max_length=4, default="")
    currency_exponent = models.PositiveSmallIntegerField(default=2)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"Cut plan for {self.label}"

    @property
    def cost_money(self) -> Decimal | None:
        return in_money(self.cost)


class CutSearch(_Cut):
    """A cut plan being looked for. The newest of a key is the one its page shows.

    ``file`` is the job as JSON (``planner.cutting.plan.form``), ``best`` the same with the best plan found so far.
    Rows of one ``input_hash`` that have not ended are worked at by one task, which writes to all of them.
    """

    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    minutes = models.PositiveSmallIntegerField(default=3)
    file = models.TextField(blank=True)
    input_hash = models.CharField(max_length=64)
    task = models.CharField(max_length=64, blank=True)
    began_at = models.DateTimeField(null=True)
    heartbeat_at = models.DateTimeField(null=True)
    stop_asked = models.BooleanField(default=False)
    best = models.TextField(blank=True)
    # How often the worker came to look whether it should stop: what was done, in steps.
    looked = models.PositiveIntegerField(default=0)
    ended_at = models.DateTimeField(null=True)
    # Whether it ended because nothing was left to try.
    tried_out = models.BooleanField(default=False)
    trouble = models.TextField(blank=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [
            models.Index(fields=["key", "-id"], name="newest_search_of_a_key"),
            models.Index(fields=["input_hash"], name="searches_of_one_job"),
        ]

    @property
    def is_running(self) -> bool:
        return self.ended_at is None


class CutSheet(_Cut):
    """A cut plan that was kept, with the saw's set-ups: the newest of a key counts. Append-only.

    ``form`` is the job with its plan and the prices that prove its floor, as JSON (``planner.cutting.plan.form``);
    ``set_ups`` the record of ``planner.cutting.setups`` as JSON, "" where there is none.
    """

    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    form = models.TextField()
    set_ups = models.TextField(blank=True)
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["key", "-id"], name="newest_sheet_of_a_key")]

    @property
    def set_ups_record(self) -> dict:
        return json.loads(self.set_ups) if self.set_ups else {}

    @property
    def matches_its_hash(self) -> bool:
        return sheet_fingerprint(self.form, self.set_ups, self.pieces) == self.sha256


class CutPaper(models.Model):
    """The marking-out sheets of a kept cut plan: asked for, rendered by the worker, then stored for good."""

    sheet = models.OneToOneField(CutSheet, models.PROTECT, related_name="paper")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"Marking-out sheets of {self.sheet}"
