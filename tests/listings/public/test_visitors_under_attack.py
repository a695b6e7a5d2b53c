"""Whoever tries every address of the shop's page, by number or at random, gets what is public and nothing else; and no
answer knows a session, sets a cookie or is kept longer than it may be."""

from __future__ import annotations

import io
import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image

from shopapp.common.files import read_file
from shopapp.common.images import store_image
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.models import Listing, PhotoSize, PiecePhoto
from shopapp.listings.pieces.photos.actions import take_photo_away
from shopapp.listings.public.sizes import WIDTHS, make_sizes, widths_of
from shopapp.people.models import Member
from tests.support import visitors, work
from tests.support.visitors import get, photos_in, piece_page

WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE)", re.IGNORECASE)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    return visitors.finished(owner)


@pytest.fixture(scope="module")
def png() -> bytes:
    return visitors.photo_png()


@pytest.fixture(scope="module")
def heron(owner, job, png):
    """A public piece with a chosen photo, one shown besides and one that is not."""
    visitors.open_shop()
    listing = work.listing(owner, job, title="Heron")
    visitors.photographed(listing, png=png)
    back = visitors.photographed(listing, chosen=False, place=2)
    visitors.photographed(listing, chosen=False, place=3)
    visitors.shown(owner, listing, photos=[back.pk])
    # Sizes of the third are there as well: it was shown once.
    make_sizes.call(PiecePhoto.objects.get(place=3).pk)
    return listing


@pytest.fixture(scope="module")
def otter(owner, job, heron):
    """A piece with a photo that is listed and not public."""
    listing = work.listing(owner, job, title="Otter")
    make_sizes.call(visitors.photographed(listing).pk)
    return listing


def photo(listing: Listing, size: PhotoSize, number: int | None = None) -> str:
    return reverse("shop:photo", args=[number or listing.piece.number, size.photo_id, size.width])


def test_every_address_by_number_opens_what_is_public_alone(db, heron, otter):
    opened = []
    for number in range(12):
        answer = get(f"/shop/{number}/")
        opened += [number] * (answer.status_code == 200)
    assert opened == [heron.piece.number]
    chosen, besides, hidden = (PiecePhoto.objects.get(piece=heron.piece, place=place) for place in (1, 2, 3))
    seen = set()
    for number in range(5):
        for pk in range(1, 9):
            for width in {*WIDTHS, 500, 1, 0, 99_999}:
                address = f"/shop/{number}/photo-{pk}-{width}.jpg"
                answer = get(address)
                assert answer.status_code in (200, 404), address
                seen |= {address} if answer.status_code == 200 else set()
    expected = {photo(heron, size) for one in (chosen, besides) for size in one.sizes.all()}
    assert seen == expected and hidden.sizes.exists() and PhotoSize.objects.filter(photo__piece=otter.piece).exists()


def test_a_photo_goes_with_all_that_let_it_be_seen(owner, db, heron):
    chosen, besides = (PiecePhoto.objects.get(piece=heron.piece, place=place) for place in (1, 2))
    first, second = photo(heron, chosen.sizes.first()), photo(heron, besides.sizes.first())
    assert get(first).status_code == get(second).status_code == 200
    PiecePhoto.objects.filter(pk=besides.pk).update(shown=False)
    assert get(second).status_code == 404
    for state in ("sold", "given", "held"):
        Listing.objects.filter(pk=heron.pk).update(state=state)
        assert get(first).status_code == 200, state
    Listing.objects.filter(pk=heron.pk).update(state="withdrawn")
    assert get(first).status_code == 404
    # Listed anew and not public: the old listing's word does not count for the new one.
    Listing.objects.create(
        piece=heron.piece, job=heron.job, title="Heron again", price=9, currency_symbol="€", currency_exponent=2
    )
    assert get(first).status_code == 404
    Listing.objects.filter(pk=heron.pk).update(state="withdrawn", public=False)
    Listing.objects.filter(title="Heron again").update(public=True)
    assert get(first).status_code == 200
    PiecePhoto.objects.filter(pk=chosen.pk).update(taken_away=True)
    assert get(first).status_code == 404


def test_the_stored_picture_and_the_owner_s_door_stay_closed(db, heron):
    chosen = PiecePhoto.objects.get(piece=heron.piece, place=1)
    for address in (
        reverse("common:image", args=[chosen.image_id]),
        reverse("listings:shop_photo", args=[chosen.pk, 480]),
        reverse("listings:preview"),
        reverse("listings:preview_piece", args=[heron.piece.number]),
        reverse("listings:listings_csv"),
        reverse("listings:enquiries"),
    ):
        assert get(address).status_code == 302, address


def every_address(listing: Listing) -> list[str]:
    size = PhotoSize.objects.filter(photo__piece=listing.piece, photo__chosen=True).first()
    return ["/shop/", "/shop/asked/", piece_page(listing), photo(listing, size)]


def test_no_answer_sets_a_cookie_or_looks_at_one_or_writes(db, heron, owner):
    signed_in = Client()
    signed_in.force_login(owner)
    for address in [*every_address(heron), "/shop/999/", "/shop/anything/else"]:
        answers = []
        for browser in (Client(), signed_in):
            with CaptureQueriesContext(connection) as taken:
                answers.append(browser.get(address))
            told = [one["sql"] for one in taken]
            assert not [sql for sql in told if WRITES.match(sql) or "session" in sql or "member" in sql], address
            assert len(told) <= 6, (address, told)
        for answer in answers:
            assert not answer.cookies and "Cookie" not in answer.headers.get("Vary", ""), address
            assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
        bodies = [b"".join(answer.streaming_content) if answer.streaming else answer.content for answer in answers]
        assert bodies[0] == bodies[1]


def test_pages_are_kept_a_minute_and_photos_an_hour_and_come_again_only_if_they_changed(owner, db, heron):
    for address, kept in zip(every_address(heron), ["public, max-age=60"] * 3 + ["public, max-age=3600"], strict=True):
        first = get(address)
        assert first.headers["Cache-Control"] == kept, address
        again = get(address, if_none_match=first.headers["ETag"])
        assert again.status_code == 304 and again.headers["Cache-Control"] == kept and not again.content
        assert get(address, if_none_match='"x"').status_code == 200
    tag = get(piece_page(heron)).headers["ETag"]
    Listing.objects.filter(pk=heron.pk).update(state="sold")
    assert get(piece_page(heron), if_none_match=tag).status_code == 200
    for address in ("/shop/999/", "/shop/999/photo-1-480.jpg", "/shop/x"):
        assert get(address).headers["Cache-Control"] == "no-store"


def test_asked_for_its_head_alone_a_page_tells_the_same_without_its_body(db, heron):
    for address in every_address(heron):
        head, whole = Client().head(address), get(address)
        assert head.status_code == 200, address
        names = ("Content-Type", "ETag", "Cache-Control")
        assert [head.headers[name] for name in names] == [whole.headers[name] for name in names]
        assert not (b"".join(head.streaming_content) if head.streaming else head.content)


def test_other_verbs_are_refused(db, heron):
    for address in every_address(heron):
        for verb in ("put", "delete", "patch"):
            assert getattr(Client(), verb)(address).status_code == 405, (verb, address)
    for address in every_address(heron)[1::2]:
        assert Client().post(address).status_code == 405, address


@pytest.mark.parametrize(
    "address",
    [
        "/shop/0/", "/shop/-1/", "/shop/01x/", f"/shop/{'9' * 19}/", f"/shop/{'9' * 30}/", "/shop/%00/",
        "/shop/1/../../listings/", "/shop/%2e%2e/", "/shop/1/photo-1-480.png", "/shop/1/photo--480.jpg",
        f"/shop/1/photo-{'9' * 25}-480.jpg", f"/shop/1/photo-1-{'9' * 25}.jpg", f"/shop/{'9' * 25}/photo-1-480.jpg",
        "/shop/١/", "/shop/<script>alert(1)</script>/", "/shop/%ff%fe/", "/shop/1/photo-1-480.jpg/",
    ],
)  # fmt: skip
def test_odd_addresses_are_one_page_not_found(db, heron, address):
    answer = get(address)
    assert answer.status_code == 404 and answer.content == get("/shop/nowhere").content


@pytest.mark.parametrize(
    "asked", ["page=x", "page=-1", "page=999999999999999999999", "page=%00", "page=1&page=2", "q=<b>"]
)
def test_odd_questions_get_the_page(db, heron, asked):
    answer = get(f"/shop/?{asked}")
    assert answer.status_code == 200 and "Heron" in answer.content.decode() and "<b>" not in answer.content.decode()


def test_what_the_maker_wrote_is_words_and_never_a_part_of_the_page(owner, job, db):
    visitors.open_shop(title='<script>"', words="</title><b>'&", about="<img src=x onerror=alert(1)>")
    trick = '"><script>alert(1)</script>'
    listing = work.listing(owner, job, title=trick, words=trick)
    photo = visitors.photographed(listing)
    PiecePhoto.objects.filter(pk=photo.pk).update(words=trick)
    visitors.shown(owner, listing)
    for address in ("/shop/", piece_page(listing)):
        body = get(address).content.decode()
        assert "<script" not in body and "onerror=alert(1)>" not in body.replace("&gt;", "") and "<b>'" not in body


def test_photos_are_written_afresh_no_larger_than_they_were_and_hold_nothing_else(db, heron, png):
    chosen = PiecePhoto.objects.get(piece=heron.piece, place=1)
    assert [size.width for size in chosen.sizes.all()] == list(WIDTHS) == widths_of(chosen.image)
    for size in chosen.sizes.all():
        answer = get(photo(heron, size))
        data = b"".join(answer.streaming_content)
        with Image.open(io.BytesIO(data)) as picture:
            assert (picture.format, picture.size) == ("JPEG", (size.width, size.height))
            assert set(picture.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }
            assert not picture.getexif()
        assert answer.headers["Content-Type"] == "image/jpeg" and answer.headers["X-Content-Type-Options"] == "nosniff"
        assert abs(size.height * chosen.image.width / size.width - chosen.image.height) < 4
    besides = PiecePhoto.objects.get(piece=heron.piece, place=2)
    assert [size.width for size in besides.sizes.all()] == [480, 500]


def test_what_is_clear_in_a_picture_is_white_in_a_photo(owner, db, heron):
    buffer = io.BytesIO()
    Image.new("RGBA", (60, 40), (0, 0, 0, 0)).save(buffer, "PNG")
    image = store_image(buffer.getvalue(), purpose="piece")
    row = PiecePhoto.objects.create(piece=heron.piece, place=9, image=image)
    make_sizes.call(row.pk)
    make_sizes.call(row.pk)
    size = row.sizes.get()
    with Image.open(io.BytesIO(read_file(size.document.name))) as picture:
        assert picture.size == (60, 40) and picture.getpixel((20, 20)) == (255, 255, 255)


def test_a_page_takes_less_than_a_hundred_kilobytes_beside_its_photos(owner, job, db, settings):
    """What a browser fetches for the longest page there can be: its text, its sheets, the mark and two cuts of type."""
    visitors.open_shop(words="w" * 2000, about="a" * 600)
    for n in range(24):
        listing = work.listing(owner, job, title=f"{n} " + "Long title " * 7, words="Of oak & ash. " * 70)
        visitors.photographed(listing, png=visitors.photo_png(500, 300) if not n else store_small())
        visitors.shown(owner, listing)
    for address in ("/shop/", piece_page(listing)):
        body = get(address).content
        named = set(re.findall(r'(?:href|src)="/static/([^"]+)"', body.decode()))
        sheets = sum((settings.BASE_DIR / "static" / name).stat().st_size for name in named)
        assert len(named) == 5 and len(body) + sheets < 70_000, (address, len(body), sheets)


def store_small() -> bytes:
    buffer = io.BytesIO()
    Image.new("RGB", (40, 30), (90, 60, 40)).save(buffer, "PNG")
    return buffer.getvalue()


def test_an_unknown_shop_has_no_photos_to_tell(db, heron):
    assert photos_in(get("/shop/").content.decode()) != []
    from shopapp.listings.public.actions import switch

    switch(who=None, on=False)
    assert photos_in(get("/shop/").content.decode()) == []


def test_the_photo_that_steps_into_the_place_of_one_taken_away_is_there_for_visitors(owner, job, db):
    visitors.open_shop()
    listing = work.listing(owner, job, title="Otter")
    first = visitors.photographed(listing)
    visitors.shown(owner, listing)
    second = visitors.photographed(listing, chosen=False, place=2)
    assert f"photo-{second.pk}-" not in get(piece_page(listing)).content.decode()
    take_photo_away(who=owner, photo=first)
    run_waiting_tasks()
    body = get(piece_page(listing)).content.decode()
    assert f"photo-{second.pk}-" in body and f"photo-{first.pk}-" not in body
