"""Finished pieces to test with."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.utils import timezone
from PIL import Image

from shopapp.common.images import store_image
from shopapp.listings.channels.actions import offer
from shopapp.listings.checks import (
    expenses_undone_wrongly,
    listings_told_wrongly,
    parcels_told_wrongly,
    pieces_told_wrongly,
    sales_that_do_not_add_up,
)
from shopapp.listings.models import Channel, Parcel, Piece, PiecePhoto, Sale
from shopapp.listings.parcels.actions import Box, move_parcel, pack
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.selling.actions import sell
from shopapp.listings.selling.ending import take_back
from tests.support import work
from tests.support.picture_files import saved, speckled


def piece(owner, plan=None, label: str = "Heron", **changes) -> Piece:
    """A finished board that has its number."""
    done = work.move(owner, work.job(owner, plan, label=label, **changes), "under way", "finished")
    return number_pieces(who=owner, job=done)[0]


def sold(owner, piece: Piece, price: str = "240.00", **changes) -> Sale:
    facts = {"price": Decimal(price), "on": timezone.localdate(), "how": "cash", "to_whom": "Robin"}
    return sell(who=owner, piece=piece, **{**facts, **changes})


def told_wrongly() -> list[str]:
    """What `manage.py verify` says of pieces and sales."""
    stories = (listings_told_wrongly, pieces_told_wrongly, parcels_told_wrongly)
    return [told for check in (*stories, sales_that_do_not_add_up, expenses_undone_wrongly) for told in check()]


def a_channel(name: str = "Quay Market", **changes) -> Channel:
    """Takes a twentieth of what the buyer pays before tax, and 30 cents."""
    facts = {"kind": "site", "percent": Fraction(5, 100), "fixed": Decimal("0.30"), **changes}
    return Channel.objects.create(name=name, **facts)


def a_photo(piece: Piece, **changes) -> PiecePhoto:
    """A small photo as the worker stores one."""
    image = store_image(saved(Image.fromarray(speckled(6, 9))), purpose="piece photo")
    facts = {"place": piece.photos.count() + 1, "chosen": not piece.photos.exists(), "words": "Seen from the front."}
    return PiecePhoto.objects.create(piece=piece, image=image, **{**facts, **changes})


def a_parcel(owner, piece: Piece, *states: str, **changes) -> Parcel:
    """A sold piece in its box, and as far as ``states`` say."""
    today = timezone.localdate()
    facts = {"grams": 1800, "carrier": "Tide Post", "number": "TP-77", "cover": Decimal(240), **changes}
    parcel = pack(who=owner, piece=piece, box=Box(**facts), on=today)
    for state in states:
        move_parcel(who=owner, parcel=parcel, state=state, on=today)
    parcel.refresh_from_db()
    return parcel


def a_trade(owner, listing) -> dict[str, int]:
    """What addresses of pieces are filled with: a channel the listing is offered through, a photo, a parcel."""
    channel = a_channel()
    offering = offer(who=owner, listing=listing, channel=channel, price=listing.price, since=timezone.localdate())
    other = piece(owner, label="Otter")
    sale = sold(owner, other, to_whom=None)
    part = take_back(who=owner, sale=sale, kind="reduced", on=timezone.localdate(), back=Decimal(5), words="A dent.")
    return {
        "change_pk": part.pk,
        "channel_pk": channel.pk,
        "offering_pk": offering.pk,
        "shot_pk": a_photo(listing.piece).pk,
        "parcel_pk": a_parcel(owner, other, "sent", "damaged").pk,
        "piece_pk": listing.piece_id,
    }
