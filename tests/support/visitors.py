"""The shop's page with pieces on it, and somebody who looks at it."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

from django.test import Client
from django.urls import reverse
from PIL import Image, ImageDraw

from shopapp.common.images import store_image
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.enquiries.actions import Asked, take_enquiry
from shopapp.listings.models import Enquiry, Listing, PiecePhoto, ShopPage
from shopapp.listings.public.actions import show_listing, switch
from tests.support import work

TERMS = json.loads((Path(__file__).parents[1] / "reference" / "schema-org-terms.json").read_text())
MAKER = "boards@reedbank.example"
ASKED = {
    "name": "Wren Attwater",
    "way": "wren@boathouse.example",
    "words": "Does it hang in a bathroom?",
    "website": "",
}


def open_shop(**values) -> ShopPage:
    switch(who=None, on=True)
    said = {"words": "Boards from the creek.", "about": "Slip Lane 4, Reedbank.", **values}
    ShopPage.objects.filter(pk=1).update(**said)
    return ShopPage.objects.get()


def photo_png(width: int = 1700, height: int = 1300) -> bytes:
    """A drawn photo: stripes of wood with a grain that no JPEG finds easy."""
    picture = Image.effect_noise((width, height), 25).convert("RGB")
    draw = ImageDraw.Draw(picture)
    for at in range(0, width, 60):
        draw.rectangle([at, 0, at + 30, height], fill=(120 + at % 90, 80, 50))
    buffer = io.BytesIO()
    picture.save(buffer, "PNG", compress_level=1)
    return buffer.getvalue()


def photographed(
    listing: Listing, *, chosen: bool = True, shown: bool = False, place: int = 1, png: bytes = b""
) -> PiecePhoto:
    """A photo as the worker leaves it when it has read one."""
    image = store_image(png or photo_png(500, 375), purpose="piece")
    return PiecePhoto.objects.create(
        piece=listing.piece, place=place, image=image, words="Seen from the front", chosen=chosen, shown=shown
    )


def finished(owner, **changes):
    """A finished job of a small board."""
    return work.move(owner, work.job(owner, work.kept(owner), kind="sale", **changes), "under way", "finished")


def shown(owner, listing: Listing, public: bool = True, photos=()) -> Listing:
    listing.refresh_from_db()
    done = show_listing(who=owner, listing=listing, public=public, photos=photos, seen_version=listing.edit_version)
    run_waiting_tasks()
    return done


def asked(listing: Listing | None = None, **changes) -> Enquiry:
    typed = {name: words for name, words in {**ASKED, **changes}.items() if name != "website"}
    return take_enquiry(asked=Asked(**typed), listing=listing, root="https://boards.example")


def a_public_page(owner, listing: Listing) -> dict[str, int]:
    """The shop's page is open, the listing shown with a photo, and somebody asked about it: what addresses are filled
    with."""
    open_shop()
    photo = listing.piece.photos.filter(chosen=True).first() or photographed(listing)
    shown(owner, listing)
    return {
        "number": listing.piece.number,
        "picture_pk": photo.pk,
        "width": photo.sizes.first().width,
        "enquiry_pk": asked(listing).pk,
    }


def piece_page(listing: Listing) -> str:
    return reverse("shop:piece", args=[listing.piece.number])


def photos_in(body: str) -> list[str]:
    """Every address of a photo a page names."""
    return sorted(set(re.findall(r"(/shop/\d+/photo-\d+-\d+\.jpg)", body)))


def get(address: str, **headers):
    """What somebody without a session is answered."""
    return Client().get(address, headers=headers)
