"""What visitors are shown, and by which photos; nothing here knows of customers, costs or places."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Prefetch, Q, QuerySet
from django.utils import timezone

from planner.measures import Length, decimals, round_half_up
from shopapp.listings.cards.said import care_said, weight_of
from shopapp.listings.cards.wording import of_use
from shopapp.listings.models import CardWords, Listing, PhotoSize, PiecePhoto, ShopPage
from shopapp.listings.pieces.facts import PieceFacts, facts
from shopapp.workshop.models import Workshop

A_PAGE = 24
State = Listing.State
# What schema.org calls how a thing can be had.
AVAILABLE = {
    State.FOR_SALE: "InStock", State.HELD: "Reserved", State.SOLD: "SoldOut", State.GIVEN: "SoldOut",
    State.WITHDRAWN: "Discontinued",
}  # fmt: skip
# Whose photos are shown: what is withdrawn is gone with its photos.
SHOWN = (State.FOR_SALE, State.HELD, State.SOLD, State.GIVEN)
# More than any row is numbered, and still a number to every database.
_MOST = 10**15
_ISO_4217 = re.compile(r"[A-Z]{3}")


def shop_page() -> ShopPage:
    """The one row; before anything was saved, the defaults, unsaved, for reading never writes."""
    return ShopPage.objects.filter(pk=1).first() or ShopPage(pk=1, edit_version=0)


def photos_for_visitors() -> QuerySet[PiecePhoto]:
    """The chosen photo of each piece first, then those shown besides, in their order."""
    return (
        PiecePhoto.objects.filter(Q(chosen=True) | Q(shown=True), taken_away=False, image__isnull=False)
        .order_by("-chosen", "place", "pk")
        .prefetch_related(Prefetch("sizes", PhotoSize.objects.order_by("width")))
    )


def listings_seen(found: QuerySet[Listing]) -> QuerySet[Listing]:
    """With all that the pages show of each, in three more queries."""
    return found.select_related("piece").prefetch_related(
        Prefetch("piece__photos", photos_for_visitors(), to_attr="seen_photos")
    )


def for_sale() -> QuerySet[Listing]:
    """What the shop's page shows, newest first; the switch is asked by whoever shows it."""
    return Listing.objects.filter(Listing.is_for_sale(timezone.localdate()), public=True).order_by("-piece__number")


def listing_of(number: int) -> Listing | None:
    """The listing a piece's public page is about: of a public one that is not withdrawn, else the newest withdrawn."""
    found = Listing.objects.filter(piece__number=number, public=True)
    rows = list(listings_seen(found).order_by("-pk"))
    return next((one for one in rows if one.state != State.WITHDRAWN), rows[0] if rows else None)


@dataclass(frozen=True)
class SeenPhoto:
    """A photo in its sizes: the smallest is what a browser gets that knows no better."""

    pk: int
    words: str
    sizes: Sequence[PhotoSize]

    @property
    def small(self) -> PhotoSize:
        return self.sizes[0]

    @property
    def large(self) -> PhotoSize:
        return self.sizes[-1]


@dataclass(frozen=True)
class Seen:
    """A listed piece as visitors see it. ``code`` is its currency by ISO 4217, "" where that is not known for sure;
    ``card`` what its care card says of it."""

    listing: Listing
    facts: PieceFacts
    photos: Sequence[SeenPhoto]
    price: Decimal | None
    code: str
    unit: str
    card: Mapping[str, Any]

    @property
    def number(self) -> int:
        return self.listing.piece.number

    @property
    def availability(self) -> str:
        return AVAILABLE[State(self.listing.stands)]

    @property
    def is_to_be_had(self) -> bool:
        return self.listing.state in (State.FOR_SALE, State.HELD)

    @property
    def measures(self) -> list[tuple[str, str, Length, str]]:
        """Name, schema.org's name, the length as it is read, and its millimetres. Empty where nothing was measured."""
        if self.facts.size is None:
            return []
        names = (("Wide", "width"), ("High", "height"), ("Thick", "depth"))
        lengths = [Length.from_nm(nm) for nm in self.facts.size]
        return [
            (words, name, _to_read(length, self.unit), decimals(length.mm, 1))
            for (words, name), length in zip(names, lengths, strict=True)
        ]

    @property
    def uses(self) -> list[tuple[str, str]]:
        """What it is for and what not, as its card says."""
        of = of_use(self.facts.use)
        return [("What it is for", of.fit), ("What it is not for", of.unfit)]

    @property
    def to_mind(self) -> list[str]:
        """What to know before it is bought: what its use asks for, and what is known of its woods and its finish."""
        contact = " ".join(one["words"] for one in self.card["contact"])
        return [words for words in (*self.facts.cautions, contact, " ".join(self.card["abroad"])) if words]

    @property
    def mass(self) -> str:
        return weight_of(self.facts, self.unit)


def _to_read(length: Length, unit: str) -> Length:
    """As fine as whoever buys a board measures it."""
    step = Length.of_inches("1/16") if unit == "in" else Length.of_mm(1)
    return step * int(round_half_up(length.mm / step.mm, 0))


def seen(listing: Listing, page: ShopPage, shop: Workshop) -> Seen:
    """No query, where the listing came by ``listings_seen``."""
    photos = [
        SeenPhoto(photo.pk, photo.words or f"{listing.title}, a photo", list(photo.sizes.all()))
        for photo in listing.piece.seen_photos
        if photo.sizes.all()
    ]
    shown = page.shows_prices and listing.state in (State.FOR_SALE, State.HELD)
    price = round_half_up(listing.price, listing.currency_exponent) if shown else None
    return Seen(
        listing,
        facts(listing.piece),
        photos,
        price,
        _code(listing, shop),
        shop.unit,
        care_said(listing.piece, CardWords(), shop, ""),
    )


def _code(listing: Listing, shop: Workshop) -> str:
    """A listing keeps its currency's symbol alone. The settings' code is its code as long as they have that symbol."""
    same = (listing.currency_symbol, listing.currency_exponent) == (shop.currency_symbol, shop.currency_exponent)
    return shop.currency_code if same and _ISO_4217.fullmatch(shop.currency_code) else ""


def size_of_photo(number: int, picture_pk: int, width: int) -> PhotoSize | None:
    """A photo that visitors may see, in one of its sizes; or None. One query."""
    if picture_pk > _MOST:
        return None
    return (
        PhotoSize.objects.select_related("document")
        .filter(
            Q(photo__chosen=True) | Q(photo__shown=True),
            width=width,
            photo=picture_pk,
            photo__taken_away=False,
            photo__piece__number=number,
            # In one breath: it is the public listing that is not withdrawn.
            photo__piece__listings__public=True,
            photo__piece__listings__state__in=SHOWN,
        )
        .first()
    )


def might_be_shown() -> QuerySet[Listing]:
    """Every listing that could be shown, those that are first, for the owner."""
    return Listing.objects.exclude(state=State.WITHDRAWN).select_related("piece").order_by("-public", "state", "-pk")
