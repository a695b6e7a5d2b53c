"""What goes with a piece on paper: its care card, its label, its price tag."""

from __future__ import annotations

from django.db import models

from shopapp.common.models import Record


class CardWords(Record):
    """What every care card and label says beside the facts of its piece: who made it, where they are reached, and what
    has to be warned of where it is sold."""

    maker = models.CharField(max_length=80, blank=True)
    address = models.CharField(max_length=300, blank=True)
    warnings = models.CharField(max_length=600, blank=True)
    words = models.CharField(max_length=600, blank=True)
    # Where a printed square code leads; empty for the piece's public page, where there is one.
    link = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_card_for_the_shop")]

    def __str__(self) -> str:
        return "Words on cards"


class PiecePaper(models.Model):
    """A paper asked for of one piece or some: what it says is canonical JSON, frozen as it was asked for and hashed, so
    that the same paper is made once."""

    class Kind(models.TextChoices):
        CARE = "care", "care card"
        LABEL = "label", "label"
        TAGS = "tags", "price tags"

    kind = models.CharField(max_length=8, choices=Kind.choices)
    says = models.TextField()
    sha256 = models.CharField(max_length=64)
    pieces = models.ManyToManyField("listings.Piece", related_name="papers")
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    task = models.CharField(max_length=64, blank=True)
    document = models.OneToOneField("common.StoredDocument", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        constraints = [models.UniqueConstraint(fields=["kind", "sha256"], name="one_paper_of_the_same_words")]

    def __str__(self) -> str:
        return self.get_kind_display()
