"""The woods a maker works with: name, price, usual stock, finished look, and where that look was taken from."""

from __future__ import annotations

from django.db import models
from django.urls import reverse
from django.utils import timezone

from shopapp.common.fields import LengthField
from shopapp.common.models import Record


class WoodOnHand(Record):
    """One wood of the planner's table as this maker has it. Never deleted: set aside when it runs out."""

    class Per(models.TextChoices):
        BOARD_FOOT = "bf", "a board foot"
        CUBIC_METRE = "m3", "a cubic metre"

    wood = models.SlugField(unique=True)
    name = models.CharField(max_length=60)
    price = models.DecimalField(max_digits=12, decimal_places=4)
    per = models.CharField(max_length=2, choices=Per.choices, default=Per.BOARD_FOOT)
    rough_thickness = LengthField()
    rough_width = LengthField()
    finished_rgb = models.CharField(max_length=7)
    colour_is_stand_in = models.BooleanField(default=True)
    mark = models.CharField(max_length=20)
    on_hand = models.BooleanField(default=True)

    class Meta:
        ordering = ["-on_hand", "name"]
        constraints = [
            models.UniqueConstraint(fields=["mark"], condition=models.Q(on_hand=True), name="one_wood_to_a_mark"),
            models.CheckConstraint(
                condition=models.Q(rough_thickness__gt=0, rough_width__gt=0), name="stock_has_a_size"
            ),
            models.CheckConstraint(condition=models.Q(price__gte=0), name="wood_price_not_negative"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("lumber:wood", args=[self.wood])

    @property
    def rgb(self) -> tuple[int, int, int]:
        return tuple(bytes.fromhex(self.finished_rgb.lstrip("#")))


class ColourPhoto(Record):
    """A photo of an oiled piece of a wood beside a card, on its way to a colour.

    ``incoming`` names the raw upload until the worker has copied it, ``shown`` is the small clean copy that came of
    it, and ``trouble`` says in plain words why nothing came of it.
    """

    wood = models.ForeignKey(WoodOnHand, models.PROTECT, related_name="colour_photos")
    brought_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    incoming = models.CharField(max_length=80, blank=True)
    task = models.CharField(max_length=64, blank=True)
    shown = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    trouble = models.TextField(blank=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"photo {self.pk} of {self.wood}"

    def get_absolute_url(self) -> str:
        return reverse("lumber:colour_photo", args=[self.wood.wood, self.pk])

    @property
    def is_waiting(self) -> bool:
        return self.shown_id is None and not self.trouble


class WoodColour(models.Model):
    """A sample of a wood: the colour it had, oiled or dry, on a day. Append-only. The newest oiled one that
    ``stands_for_wood`` is how the wood looks everywhere, the newest dry one how it looks before the finish; the older
    ones stay. ``photo`` is where it was taken from, with the ``places`` that were tapped; none when it was set by eye.

    ``piece`` is what the maker calls the piece in the photo, so that its samples are found together; ``finish`` what
    the finish on it was called that day. ``seen_on`` is the day of the photo, ``taken_at`` when this was written down.
    """

    class Card(models.TextChoices):
        WHITE = "white", "a plain white card"
        GREY = "grey", "a grey card of 18 %"

    class State(models.TextChoices):
        OILED = "oiled", "oiled, as you finish your boards"
        DRY = "dry", "dry: sanded, no finish"

    wood = models.ForeignKey(WoodOnHand, models.PROTECT, related_name="colours")
    rgb = models.CharField(max_length=7)
    state = models.CharField(max_length=8, choices=State.choices, default=State.OILED)
    piece = models.CharField(max_length=60, blank=True, default="")
    finish = models.CharField(max_length=80, blank=True, default="")
    seen_on = models.DateField(default=timezone.localdate)
    stands_for_wood = models.BooleanField(default=True)
    taken_at = models.DateTimeField(default=timezone.now)
    taken_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    photo = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    card = models.CharField(max_length=8, choices=Card.choices, blank=True)
    places = models.JSONField(default=dict)
    remarks = models.JSONField(default=list)

    class Meta:
        ordering = ["-seen_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(photo__isnull=True, card="") | models.Q(photo__isnull=False, card__gt=""),
                name="a_photo_has_its_card",
            ),
            models.CheckConstraint(condition=models.Q(state__in=["oiled", "dry"]), name="a_sample_is_oiled_or_dry"),
        ]

    def __str__(self) -> str:
        return f"{self.rgb} of {self.wood}"
