"""The shop's page written, switched on and off; a listing and its photos shown to visitors."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.listings.models import Listing, PiecePhoto, ShopPage
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .sizes import ask_for_sizes

Spend = Callable[[], None]


def write_shop_page(
    *, who: Member | None, values: Mapping[str, object], seen_version: int, spend: Spend = lambda: None
) -> ShopPage:
    """What stands on it and what it takes. Raises EditConflict where somebody else wrote it since."""
    owner_only(who)
    with transaction.atomic():
        spend()
        page = _held()
        check_version(page, seen_version)
        for name in ("title", "words", "about", "shows_prices", "takes_enquiries"):
            setattr(page, name, values[name])
        page.save()
        bump_version(page)
        write_audit(who, "What the shop’s page says was changed.", page)
    return page


def switch(*, who: Member | None, on: bool, spend: Spend = lambda: None) -> ShopPage:
    """Open the shop's page to visitors, or close it. Nothing is lost by either."""
    owner_only(who)
    with transaction.atomic():
        spend()
        page = _held()
        if page.on != on:
            page.on = on
            page.save(update_fields=["on", "changed_at"])
            write_audit(who, f"The shop’s page was {'opened to visitors' if on else 'closed'}.", page)
    return page


def _held() -> ShopPage:
    """The one row under its lock; it is made the first time. Its version begins at nought, as whoever never saw one
    has it."""
    page, _ = ShopPage.objects.select_for_update().get_or_create(pk=1, defaults={"edit_version": 0})
    return page


def show_listing(
    *,
    who: Member | None,
    listing: Listing,
    public: bool,
    photos: Collection[int] = (),
    seen_version: int,
    spend: Spend = lambda: None,
) -> Listing:
    """Let visitors see a listing, with the photos of ``photos`` beside the chosen one; or not any more. What is sold or
    given stays shown as such until it is taken down. Raises EditConflict."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = Listing.objects.select_for_update().select_related("piece").get(pk=listing.pk)
        check_version(listing, seen_version)
        if public and listing.state == Listing.State.WITHDRAWN:
            raise PlannerError(f"{listing.title} is withdrawn.", mend="List the piece anew, then show that.")
        rows = list(PiecePhoto.objects.filter(piece=listing.piece, taken_away=False, image__isnull=False))
        for photo in rows:
            if photo.shown != (photo.pk in photos):
                photo.shown = photo.pk in photos
                photo.save(update_fields=["shown", "changed_at"])
        if listing.public != public:
            listing.public = public
            told = "is shown on the shop’s page" if public else "is not shown on the shop’s page any more"
            write_audit(who, f"{listing.title} {told}.", listing)
        listing.save(update_fields=["public", "changed_at"])
        bump_version(listing)
        if public:
            # Of all of them: another may be chosen, and no visitor waits for the worker then.
            ask_for_sizes(rows)
    return listing
