"""What visitors see of Reedbank Workshop: two finished boards on its page, which is open, and a question somebody
asked. Words, names and the drawn photos are invented."""

from __future__ import annotations

from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile

from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.models import Job
from shopapp.listings.actions import ListingFacts, list_piece
from shopapp.listings.enquiries.actions import Asked, take_enquiry
from shopapp.listings.models import Listing, PiecePhoto
from shopapp.listings.pieces.photos.actions import bring_photo, say_photo
from shopapp.listings.public.actions import show_listing, switch, write_shop_page
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.plans.preview.planning import on_a_page, tones_of_record

# Whose picture, what the board is called, what is said of it, what is to be seen in its photo, asked price.
PIECES = (
    (
        "Kingfisher", "Kingfisher", "A kingfisher on its post, the way he sits by our slipway before the tide turns.",
        "The kingfisher board from the front", "96.00",
    ),
    (
        "Lantern on the jetty", "Lantern on the jetty",
        "A lantern somebody left burning at the end of the jetty. Its light is yellow birch.",
        "The lantern board from the front", "198.00",
    ),
)  # fmt: skip
PAGE = {
    "title": "",
    "words": "Boards of wood from beside the creek, each made once. What you see here is finished and waits to be "
    "fetched or sent.",
    "about": "We are two people with one bench and a view of the mud.\nReedbank Workshop, Slip Lane 4, Reedbank.",
    "shows_prices": True,
    "takes_enquiries": True,
}
QUESTION = Asked(
    "Tilda Marsh",
    "tilda@saltings.example",
    "Would the lantern stand a hallway that is damp in winter? And can it be sent?",
)


def fill_visitors(who: Member) -> None:
    listings = [_listed(who, *told) for told in PIECES]
    write_shop_page(who=who, values=PAGE, seen_version=0)
    switch(who=who, on=True)
    run_waiting_tasks()
    for listing in listings:
        listing.refresh_from_db()
        show_listing(who=who, listing=listing, public=True, seen_version=listing.edit_version)
    take_enquiry(asked=QUESTION, listing=listings[-1], root="http://localhost:8000")
    run_waiting_tasks()


def _listed(who: Member, picture: str, title: str, words: str, seen: str, price: str) -> Listing:
    """A board of a kept plan, made without a word in the log, finished and listed with a photo of it."""
    plan = Plan.objects.filter(design__name=picture).order_by("pk").first()
    job = make_job(who=who, facts=JobFacts(f"{title}, for the shop’s page", Job.Kind.SALE, "", None, plan))
    for state in (Job.State.UNDER_WAY, Job.State.FINISHED):
        move_job(who=who, job=job, state=state, seen_version=job.edit_version)
        job.refresh_from_db()
    listing = list_piece(who=who, job=job, facts=ListingFacts(title, words, Decimal(price)))
    drawn = on_a_page(plan.record, tones_of_record(plan.record), 1200)
    bring_photo(who=who, piece=listing.piece, upload=SimpleUploadedFile("board.jpg", drawn))
    run_waiting_tasks()
    say_photo(who=who, photo=PiecePhoto.objects.get(piece=listing.piece), words=seen)
    return listing
