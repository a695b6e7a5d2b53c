"""What the maker is told by mail of an enquiry. Nothing a visitor wrote stands in a letter's head but an address to
answer to, and that only where it is one."""

from __future__ import annotations

from django.urls import reverse

from shopapp.listings.models import Enquiry


def letter_of(enquiry: Enquiry, root: str) -> tuple[str, str]:
    """Its subject and its words."""
    listing = enquiry.listing
    about = f"No. {listing.piece.number}, {listing.title}" if listing else "the shop’s page"
    page = root + reverse("listings:enquiry", args=[enquiry.pk])
    words = (
        f"{enquiry.name} asks about {about}:\n\n{enquiry.words}\n\n"
        f"To be answered: {enquiry.way}\n\nIt stands in the shop’s book: {page}\n"
    )
    return f"A question about {about}", words
