"""What the books keep of their own: the day their years begin on, and years on paper, as they stood."""

from __future__ import annotations

from django.db import models

from shopapp.common.models import Record


class BookYear(Record):
    """The day the shop's years begin on, one that every month has; where there is no row it is the first of January.
    What is written stays where it is: only what is added up together follows."""

    month = models.PositiveSmallIntegerField(default=1)
    day = models.PositiveSmallIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="one_day_the_years_begin_on"),
            models.CheckConstraint(
                condition=models.Q(month__gte=1, month__lte=12, day__gte=1, day__lte=28), name="a_day_every_month_has"
            ),
        ]

    def __str__(self) -> str:
        return f"Years begin on {self.day}.{self.month}."


class YearPaper(models.Model):
    """A year's end as a PDF: what it ``says`` is canonical JSON, frozen as it was asked for and hashed, so that the
    same paper is made once. It may be made anew at any time, and goes whole where somebody it names is forgotten."""

    class Sheet(models.TextChoices):
        A4 = "a4", "A4"
        LETTER = "letter", "Letter"

    year = models.PositiveSmallIntegerField()
    sheet = models.CharField(max_length=6, choices=Sheet.choices)
    says = models.TextField()
    sha256 = models.CharField(max_length=64)
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    task = models.CharField(max_length=64, blank=True)
    document = models.OneToOneField("common.StoredDocument", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        constraints = [models.UniqueConstraint(fields=["sheet", "sha256"], name="one_year_paper_of_the_same_words")]

    def __str__(self) -> str:
        return f"The books of {self.year}"
