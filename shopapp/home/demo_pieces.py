"""Finished pieces of Reedbank Workshop: one sold and sent, one with a shop, one listed, one given, one that came
damaged. Everything is invented, and the photos are drawn by us from the boards' own plans."""

from __future__ import annotations

import io
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image, ImageOps

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.pictures.rights import answer_rights
from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.done.open import open_of
from shopapp.jobs.models import Job
from shopapp.listings.actions import ListingFacts, list_piece
from shopapp.listings.channels.actions import ChannelFacts, offer, write_channel
from shopapp.listings.models import Channel, Piece
from shopapp.listings.parcels.actions import Box, move_parcel, pack
from shopapp.listings.parcels.readers import box_asked
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.pieces.moving import Going, bring
from shopapp.listings.pieces.photos.actions import bring_photo, say_photo
from shopapp.listings.selling.actions import give, sell
from shopapp.listings.wording import draft_title, draft_words
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.plans.preview.planning import Look, picture_of, tones_of_record
from shopapp.workshop.readers import the_workshop

from .demo_people import somebody_called

# Pixels of a drawn photo, and of the wall around the board in it.
PHOTO, WALL = 900, 90
WALL_COLOUR = (226, 221, 210)


def fill_pieces(who: Member) -> None:
    kingfisher, lantern = Plan.objects.get(design__name="Kingfisher"), _lantern()
    for plan in (kingfisher, lantern):
        answer_rights(who=who, design=plan.design, purpose="list", rights="own", note="")
    market = write_channel(
        who=who,
        facts=ChannelFacts("Quay Market", Channel.Kind.SITE, None, percent=Fraction(6, 100), fixed=Decimal("0.40")),
    )
    rooms = write_channel(
        who=who, facts=ChannelFacts("Harbour Rooms", Channel.Kind.SHOP, "Harbour Rooms", percent=Fraction(35, 100))
    )
    first, second, third = _made(who, kingfisher, "Kingfisher", 3, days=46)
    fourth = _made(who, lantern, "Little lantern", 1, days=30)[0]
    fifth = _made(who, lantern, "Lantern by the door", 1, days=24)[0]
    for piece in (first, third, fourth):
        _photograph(who, piece)
    _sold_and_arrived(who, first, market)
    today = timezone.localdate()
    lies = Going(Piece.Where.SHOP, today - timedelta(days=38), rooms, Fraction(30, 100), today - timedelta(days=3))
    bring(who=who, piece=second, going=lies)
    _listed(who, third, market)
    give(who=who, piece=fourth, on=today - timedelta(days=12), to_whom=somebody_called("Aunt Sedge"))
    _arrived_damaged(who, fifth)


def _lantern() -> Plan:
    return Plan.objects.filter(design__name="Lantern on the jetty").earliest("pk")


def _made(who: Member, plan: Plan, label: str, count: int, *, days: int) -> list[Piece]:
    """Boards that were made so many days ago, each with its number."""
    job = make_job(who=who, facts=JobFacts(label, Job.Kind.SALE, plan=plan))
    for state in ("under way", "finished"):
        job.refresh_from_db()
        read = open_of(job, who).seen if state == "finished" else ""
        move_job(who=who, job=job, state=state, seen_version=job.edit_version, with_open=read)
    made_on = timezone.localdate() - timedelta(days=days)
    return number_pieces(who=who, job=job, count=count, made_on=made_on, spares="3 tiles of each wood, drawer 2")


def _photograph(who: Member, piece: Piece) -> None:
    """As it would look on a wall, drawn in real grain from its plan; and a closer look at a corner."""
    record = piece.job.plan.record
    drawn = picture_of(record, tones_of_record(record), Look(), PHOTO)
    board = Image.open(io.BytesIO(drawn.png)).convert("RGBA")
    wall = Image.new("RGBA", board.size, (*WALL_COLOUR, 255))
    whole = ImageOps.expand(Image.alpha_composite(wall, board).convert("RGB"), WALL, WALL_COLOUR)
    corner = whole.crop((0, 0, whole.width // 2, whole.height // 2))
    for name, image, words in (
        ("front.png", whole, f"{piece.title} on a pale wall, seen from the front"),
        ("corner.png", corner, f"The upper left corner of {piece.title}, close enough to see the joints"),
    ):
        file = io.BytesIO()
        image.save(file, "PNG")
        photo = bring_photo(who=who, piece=piece, upload=SimpleUploadedFile(name, file.getvalue()))
        say_photo(who=who, photo=photo, words=words)
    run_waiting_tasks()


def _sold_and_arrived(who: Member, piece: Piece, market: Channel) -> None:
    today = timezone.localdate()
    sell(
        who=who, piece=piece, price=Decimal("245.00"), on=today - timedelta(days=21), how="transfer",
        to_whom=somebody_called("Ebb Harrow"), channel=market, carriage=Decimal("14.00"),
    )  # fmt: skip
    _on_its_way(who, piece, 20, "arrived")


def _on_its_way(who: Member, piece: Piece, days: int, end: str) -> None:
    """Packed so many days ago, sent the day after, and three days later at its end."""
    today = timezone.localdate()
    piece.refresh_from_db()
    asked = box_asked(piece, the_workshop())
    long, wide, high = asked.sizes
    box = Box(long, wide, high, (asked.grams or 0) + 40, piece.sale.gross, "Tide Post", f"TP {4000 + piece.number}")
    parcel = pack(who=who, piece=piece, box=box, on=today - timedelta(days=days))
    sent_on = today - timedelta(days=days - 1)
    move_parcel(who=who, parcel=parcel, state="sent", on=sent_on, carriage=Decimal("13.20"))
    move_parcel(who=who, parcel=parcel, state=end, on=sent_on + timedelta(days=3))


def _listed(who: Member, piece: Piece, market: Channel) -> None:
    unit = the_workshop().unit
    facts = ListingFacts(draft_title(piece), draft_words(piece, unit), Decimal("249.00"))
    listing = list_piece(who=who, job=piece.job, piece=piece, facts=facts)
    since = timezone.localdate() - timedelta(days=9)
    offer(who=who, listing=listing, channel=market, price=Decimal("259.00"), since=since, reference="stall 14")


def _arrived_damaged(who: Member, piece: Piece) -> None:
    today = timezone.localdate()
    sell(
        who=who, piece=piece, price=Decimal("229.00"), on=today - timedelta(days=6), how="card",
        to_whom=somebody_called("Wren Attwater"), carriage=Decimal("14.00"),
    )  # fmt: skip
    _on_its_way(who, piece, 5, "damaged")
