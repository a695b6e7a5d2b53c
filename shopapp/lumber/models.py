"""The woods a maker works with: name, price, usual stock and finished look."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

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
