"""What visitors may see, and what they wrote."""

from __future__ import annotations

from django.db import models

from shopapp.common.models import Record


class ShopPage(Record):
    """The one public page of the shop; it shows nothing until it is switched on."""

    on = models.BooleanField(default=False)
    title = models.CharField(max_length=80, blank=True)
    words = models.CharField(max_length=2000, blank=True)
    about = models.CharField(max_length=600, blank=True)
    shows_prices = models.BooleanField(default=True)
    takes_enquiries = models.BooleanField(default=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_shop_page")]

    def __str__(self) -> str:
        return self.title or "Shop page"


class PhotoSize(models.Model):
    """A photo of a piece as a JPEG so many pixels wide, made by the worker from the stored picture. Visitors get these
    and nothing else."""

    photo = models.ForeignKey("listings.PiecePhoto", models.PROTECT, related_name="sizes")
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    document = models.OneToOneField("common.StoredDocument", models.PROTECT, related_name="+")

    class Meta:
        ordering = ["width"]
        constraints = [models.UniqueConstraint(fields=["photo", "width"], name="a_photo_has_each_size_once")]

    def __str__(self) -> str:
        return f"{self.photo}, {self.width} wide"


class Enquiry(Record):
    """What a visitor wrote, by which way they want to be answered, and what became of it. Never deleted, but its words
    and ways go with an erasure."""

    class State(models.TextChoices):
        NEW = "new", "new"
        ANSWERED = "answered", "answered"
        ASIDE = "aside", "set aside"

    listing = models.ForeignKey("listings.Listing", models.PROTECT, null=True, related_name="enquiries")
    name = models.CharField(max_length=80)
    way = models.CharField(max_length=254)
    words = models.CharField(max_length=2000)
    state = models.CharField(max_length=8, choices=State.choices, default=State.NEW)
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="enquiries")
    # The worker's task that tells the maker by mail.
    task = models.CharField(max_length=64, blank=True)

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "enquiries"

    def __str__(self) -> str:
        return f"Enquiry {self.pk}"
