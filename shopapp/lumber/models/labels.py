"""Sheets of labels: a mark to stick on where chalk does not hold."""

from __future__ import annotations

from django.db import models
from django.urls import reverse


class LabelSheet(models.Model):
    """Labels asked for: of which pieces, on which paper, from which label of the first sheet on; then the paper."""

    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    # Numbers of pieces in their order; the paper's measures in nanometres and counts.
    pieces = models.JSONField()
    paper = models.JSONField()
    first = models.PositiveSmallIntegerField()
    # Where this shop is reached, as the codes say it: "https://shop.example".
    address = models.CharField(max_length=200)
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Labels of {self.asked_at:%d %b %Y, %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("lumber:label_sheet", args=[self.pk])
