"""An offer made from kept plans. While it is written it is a draft that people change; what was made of it is never
changed: a changed offer is the next version of the quote, which names the one it replaces. How far a quote has come is
told by its events, what the customer said by its answer and its words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import models
from django.urls import reverse

from shopapp.common.fields import ShareField
from shopapp.common.models import Record


class Quote(models.Model):
    """For whom, what, for how much, until when; the boards themselves are its options. Append-only.

    ``carriage`` is that of all boards of an option; ``tax`` is a share, held in prices and carriage or added to both,
    as the shop had it on the day the quote was made.
    """

    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    version = models.PositiveSmallIntegerField(default=1)
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="quotes")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, related_name="replaced_by")
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    for_whom = models.CharField(max_length=80)
    title = models.CharField(max_length=80)
    dated = models.DateField()
    valid_until = models.DateField()
    carriage = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    words = models.CharField(max_length=600, blank=True)
    care = models.CharField(max_length=300)
    left_out = models.CharField(max_length=300, blank=True)
    terms = models.CharField(max_length=600, blank=True)
    # What becomes of deposit and wood where the work is called off.
    called_off = models.CharField(max_length=600, blank=True)
    # The day it was wanted by, the day it is promised for, the day the timetable came to at the careful estimate, and
    # what that estimate went by.
    wanted_by = models.DateField(null=True)
    there_by = models.DateField(null=True)
    there_by_reckoned = models.DateField(null=True)
    there_by_words = models.CharField(max_length=300, blank=True)
    # The share of what is paid that is asked before wood is bought.
    deposit = ShareField(default=Fraction(0))
    # Whose the picture is, in a sentence, as it was known on that day.
    whose_picture = models.CharField(max_length=1000, blank=True)
    # Whether what it is made up of (wood, hours and so on) is shown to the customer.
    shows_sums = models.BooleanField(default=False)
    # Canonical JSON of every sum it shows, for each option, of the letterhead and the sentences that stand on it, and
    # its hash; nothing for quotes made before this was.
    figures = models.TextField(blank=True)
    figures_sha256 = models.CharField(max_length=64, blank=True)

    class Meta:
        ordering = ["-year", "-number", "-version"]
        constraints = [
            models.UniqueConstraint(fields=["year", "number", "version"], name="one_quote_of_each_number"),
            models.CheckConstraint(condition=models.Q(carriage__gte=0), name="quote_carriage_is_not_below_nought"),
            models.CheckConstraint(
                condition=models.Q(valid_until__gte=models.F("dated")), name="quote_is_valid_on_its_day"
            ),
        ]

    def __str__(self) -> str:
        return f"Quote {self.reference}"

    def get_absolute_url(self) -> str:
        return reverse("quotes:quote", args=[self.pk])

    @property
    def reference(self) -> str:
        """The number it is spoken of by; later versions say which."""
        first = f"{self.year}-{self.number:03d}"
        return first if self.version == 1 else f"{first}-{self.version}"

    def is_past(self, today: date) -> bool:
        return today > self.valid_until


class QuoteOption(models.Model):
    """One of the boards a customer may choose, side by side with others: ``boards`` of ``plan`` at ``price`` each.
    Append-only. ``place`` counts from 1; the proof it is accepted by is "2026-004/1"."""

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="options")
    place = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=80)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="quote_options")
    boards = models.PositiveIntegerField()
    price = models.DecimalField(max_digits=12, decimal_places=4)

    class Meta:
        ordering = ["place"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "place"], name="one_option_at_each_place"),
            models.CheckConstraint(condition=models.Q(price__gt=0), name="option_has_a_price"),
        ]

    def __str__(self) -> str:
        return f"{self.quote.reference}/{self.place}"


class QuoteEvent(models.Model):
    """What became of a quote, in a sentence. Append-only; each happens once, and one alone ends it."""

    class Kind(models.TextChoices):
        MADE = "made", "made"
        SENT = "sent", "sent"
        ACCEPTED = "accepted", "accepted"
        DECLINED = "declined", "declined"
        LAPSED = "lapsed", "lapsed"
        REPLACED = "replaced", "replaced by another"
        WITHDRAWN = "withdrawn", "withdrawn"

    ENDS = (Kind.ACCEPTED, Kind.DECLINED, Kind.LAPSED, Kind.REPLACED, Kind.WITHDRAWN)

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "kind"], name="each_quote_event_once"),
            models.UniqueConstraint(
                fields=["quote"],
                condition=models.Q(kind__in=["accepted", "declined", "lapsed", "replaced", "withdrawn"]),
                name="a_quote_ends_once",
            ),
        ]

    def __str__(self) -> str:
        return self.words


class QuoteAnswer(models.Model):
    """What a quote was answered with, once: by whom, on which day, to which option, and what was shown to them.
    Append-only but for the name, which an erasure may take away. ``who`` is nobody where the customer answered by
    ``link``."""

    class Kind(models.TextChoices):
        ACCEPTED = "accepted", "accepted"
        DECLINED = "declined", "declined"

    quote = models.OneToOneField(Quote, models.PROTECT, related_name="answer")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    option = models.ForeignKey(QuoteOption, models.PROTECT, null=True, related_name="+")
    name = models.CharField(max_length=80)
    on = models.DateField()
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    link = models.ForeignKey("common.PrivateLink", models.PROTECT, null=True, related_name="+")
    # Canonical JSON of everything the page said when it was answered, and its hash.
    shown = models.TextField()
    shown_sha256 = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"{self.quote} was {self.kind} by {self.name}"


class QuoteWord(models.Model):
    """A question the customer asked by a link, or what the shop wrote back (``who`` is set). Append-only but for the
    words themselves, which an erasure may take away."""

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="said")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    link = models.ForeignKey("common.PrivateLink", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=1000)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.words


class QuotePaper(models.Model):
    """The paper of a quote: asked for as it is made, rendered by the worker, then stored for good."""

    quote = models.OneToOneField(Quote, models.PROTECT, related_name="paper")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"Paper of {self.quote}"


class QuoteDraft(Record):
    """A quote being written: what people change until it is made. ``made`` is the quote it became; a draft that is
    not wanted is put aside, never deleted."""

    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="quote_drafts")
    for_whom = models.CharField(max_length=80, blank=True)
    title = models.CharField(max_length=80)
    wanted_by = models.DateField(null=True)
    valid_until = models.DateField()
    carriage = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    deposit = ShareField(default=Fraction(0))
    words = models.CharField(max_length=600, blank=True)
    care = models.CharField(max_length=300, blank=True)
    left_out = models.CharField(max_length=300, blank=True)
    terms = models.CharField(max_length=600, blank=True)
    called_off = models.CharField(max_length=600, blank=True)
    # The maker's own date, where it is another than the timetable comes to.
    there_by = models.DateField(null=True)
    shows_sums = models.BooleanField(default=False)
    replaces = models.ForeignKey(Quote, models.PROTECT, null=True, related_name="drafts")
    made = models.OneToOneField(Quote, models.PROTECT, null=True, related_name="draft")
    put_aside = models.BooleanField(default=False)

    class Meta:
        ordering = ["-changed_at", "-pk"]

    def __str__(self) -> str:
        return f"A quote being written: {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("quotes:draft", args=[self.pk])


class DraftOption(models.Model):
    """One of the boards a draft offers: all that ``plan`` makes, at ``price`` each."""

    draft = models.ForeignKey(QuoteDraft, models.CASCADE, related_name="options")
    place = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=80, blank=True)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="+")
    price = models.DecimalField(max_digits=12, decimal_places=4)

    class Meta:
        ordering = ["place"]
        constraints = [models.UniqueConstraint(fields=["draft", "plan"], name="a_plan_once_in_a_draft")]

    def __str__(self) -> str:
        return self.label or self.plan.title
