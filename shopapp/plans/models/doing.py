"""What was done of a kept cut plan: started, cut at the bench, offcuts brought back."""

from __future__ import annotations

from django.db import models


class CutEntry(models.Model):
    """One thing that was done of a sheet, in a sentence. Append-only; undone by another entry that names it.

    ``board`` is the mark of the board and ``rough`` which of its rough lengths was cut, counted from 1. ``stock_entry``
    is what the rack wrote of it: the taking of a start, the coming back of offcuts. ``offcuts`` are, for a return, the
    pieces that were looked at: objects with ``rough``, ``kind`` and ``number`` of the planned offcut (``rough`` 0 for
    one that was not planned) and ``mark``, which is empty for what was thrown away.
    """

    class Kind(models.TextChoices):
        STARTED = "started", "started"
        CUT = "cut", "cut"
        RETURNED = "returned", "offcuts brought back"
        UNDONE = "undone", "undone"

    sheet = models.ForeignKey("plans.CutSheet", models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    board = models.CharField(max_length=12, blank=True)
    rough = models.PositiveSmallIntegerField(null=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)
    offcuts = models.JSONField(default=list)
    stock_entry = models.ForeignKey("lumber.StockEntry", models.PROTECT, null=True, related_name="+")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "cut entries"
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(kind="cut") | (models.Q(rough__gt=0) & ~models.Q(board="")),
                name="a_cut_is_of_a_rough_length",
            ),
            models.CheckConstraint(
                condition=models.Q(kind="undone", undoes__isnull=False)
                | (~models.Q(kind="undone") & models.Q(undoes=None)),
                name="what_is_undone_is_named",
            ),
        ]

    def __str__(self) -> str:
        return self.words
