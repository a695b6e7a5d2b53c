"""The shop's page: closed until it is opened, showing what is said to be public and nothing of anybody; and what it
says of a piece to machines, read back by a general reader and held against the published words."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from html import unescape

import extruct
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.models import Listing, Piece, ShopPage
from shopapp.listings.public.actions import switch
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support import visitors, work
from tests.support.visitors import TERMS, get, piece_page

ROOT = "https://boards.reedbank.example"
NM = 10**6
FACTS = {
    "form": 1, "size": [374 * NM, 408 * NM, 20 * NM], "grams": 1940, "adhesive": "White wood glue",
    "finish": "Hard oil", "finish_sheet": "an invented sheet", "use": "wall",
    "woods": [
        {"key": "walnut-black", "name": "Black walnut", "scientific": "Juglans nigra", "share": "2/3", "listed": "",
         "allergen": "It is a nut"},
        {"key": "padauk", "name": "Padauk", "scientific": "Pterocarpus soyauxii", "share": "1/3",
         "listed": "It stands in an annex.", "allergen": ""},
    ],
    "care": ["Dust it with a dry cloth."], "cautions": ["Hang it from two screws."],
}  # fmt: skip


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "mail": "boards@reedbank.example"})
    return visitors.finished(owner, for_whom="Wren Attwater")


@pytest.fixture
def heron(owner, job, db):
    """A listing on an open page."""
    visitors.open_shop()
    listing = work.listing(owner, job, title="Heron & reeds", words="A heron,\nstanding.", price=Decimal("189"))
    Piece.objects.filter(pk=listing.piece_id).update(facts=FACTS)
    return visitors.shown(owner, listing)


def state(listing: Listing, state: str) -> None:
    Listing.objects.filter(pk=listing.pk).update(state=state)


def things_on(address: str) -> list[dict]:
    """What a general reader finds on a page, by the microdata algorithm of the HTML standard."""
    return extruct.extract(get(address).content.decode(), base_url=ROOT + address, syntaxes=["microdata"])["microdata"]


def test_nobody_sees_anything_until_the_page_is_opened_and_again_when_it_is_closed(owner, job, db):
    listing = visitors.shown(owner, work.listing(owner, job))
    photo = visitors.photographed(listing)
    visitors.shown(owner, listing)
    number, width = listing.piece.number, photo.sizes.last().width
    addresses = ["/shop/", "/shop/asked/", piece_page(listing), reverse("shop:photo", args=[number, photo.pk, width])]
    nothing = get("/shop/nowhere/").content
    for on, status in ((None, 404), (True, 200), (False, 404)):
        if on is not None:
            switch(who=owner, on=on)
        for address in addresses:
            answer = get(address)
            assert answer.status_code == status, address
            assert status == 200 or answer.content == nothing


def test_the_page_shows_what_is_public_and_for_sale_newest_first(owner, job, heron):
    titles = {}
    for name in ("Otter", "Lantern", "Teasel", "Tide bell"):
        titles[name] = work.listing(owner, job, title=name)
    for name in ("Otter", "Lantern", "Tide bell"):
        visitors.shown(owner, titles[name])
    state(titles["Lantern"], "held")
    body = get("/shop/").content.decode()
    assert [name for name in ("Tide bell", "Teasel", "Lantern", "Otter", "Heron &amp; reeds") if name in body] == [
        "Tide bell", "Otter", "Heron &amp; reeds",
    ]  # fmt: skip
    assert body.index("Tide bell") < body.index("Otter") < body.index("Heron")
    assert "Boards from the creek." in body and "Slip Lane 4" in body and "€\u00a0189.00" in body


@pytest.mark.parametrize(
    ("kept", "status", "said", "available"),
    [
        ("for sale", 200, "There is one of it", "InStock"),
        ("held", 200, "Held for somebody", "Reserved"),
        ("sold", 200, "Sold.", "SoldOut"),
        ("given", 200, "Not for sale any more", "SoldOut"),
        ("withdrawn", 410, "taken this piece off", None),
    ],
)
def test_a_piece_s_page_says_how_it_can_be_had(heron, kept, status, said, available):
    state(heron, kept)
    answer = get(piece_page(heron))
    body = answer.content.decode()
    assert answer.status_code == status and said in body
    assert ("€" in body) == (kept in ("for sale", "held"))
    assert ('content="index, follow"' in body) == (kept in ("for sale", "held"))
    if available:
        (product,) = things_on(piece_page(heron))
        assert product["properties"]["offers"]["properties"]["availability"] == f"https://schema.org/{available}"
        assert f"https://schema.org/{available}" in TERMS["members"]["ItemAvailability"]


def test_what_is_not_public_is_as_if_it_were_not_there(owner, job, heron):
    other = work.listing(owner, job, title="Otter")
    nothing = get("/shop/999999/")
    answer = get(piece_page(other))
    assert (answer.status_code, answer.content) == (nothing.status_code, nothing.content) == (404, answer.content)
    visitors.shown(owner, heron, public=False)
    assert get(piece_page(heron)).content == nothing.content


def test_a_piece_that_is_listed_anew_is_shown_by_its_new_listing(owner, job, heron):
    state(heron, "withdrawn")
    Listing.objects.create(
        piece=heron.piece, job=job, title="Heron, oiled anew", price=Decimal(150), currency_symbol="€",
        currency_exponent=2, public=True,
    )  # fmt: skip
    answer = get(piece_page(heron))
    assert answer.status_code == 200 and "Heron, oiled anew" in answer.content.decode()


def test_nothing_of_a_customer_or_of_costs_stands_on_a_page(owner, job, heron):
    state(heron, "sold")
    for address in ("/shop/", piece_page(heron)):
        body = get(address).content.decode()
        assert not [
            word for word in ("Wren", "Attwater", "labour", "overhead", "mara", "boards@reedbank") if word in body
        ]


def typed_right(kind: str, thing: dict) -> list[str]:
    """Properties of a thing, and of the things in it, that the published vocabulary does not know for its type."""
    known, under = {}, kind
    while under:
        known |= TERMS["types"][under]["properties"]
        under = TERMS["types"][under]["under"]
    wrong = [f"{kind}.{name}" for name in thing["properties"] if name not in known]
    for name, values in thing["properties"].items():
        for value in values if isinstance(values, list) else [values]:
            if isinstance(value, dict):
                within = value["type"].removeprefix("https://schema.org/")
                wrong += typed_right(within, value)
                wrong += [] if within in known.get(name, ()) else [f"{kind}.{name} is no {within}"]
    return wrong


def test_a_general_reader_finds_the_product_its_offer_and_its_measures(owner, heron, settings):
    settings.PUBLIC_ROOT = ROOT
    photo = visitors.photographed(heron)
    visitors.shown(owner, heron)
    (product,) = things_on(piece_page(heron))
    assert product["type"] == "https://schema.org/Product" and typed_right("Product", product) == []
    found = product["properties"]
    number, size = heron.piece.number, photo.sizes.last()
    assert (found["name"], found["sku"], found["url"]) == ("Heron & reeds", str(number), f"{ROOT}/shop/{number}/")
    assert found["material"] == ["Black walnut", "Padauk"] and "standing." in found["description"]
    assert found["image"] == f"{ROOT}/shop/{number}/photo-{photo.pk}-{size.width}.jpg"
    assert found["manufacturer"]["properties"]["name"] == "Reedbank Workshop"
    measured = {name: found[name]["properties"] for name in ("width", "height", "depth", "weight")}
    assert measured == {
        "width": {"value": "374", "unitCode": "MMT"}, "height": {"value": "408", "unitCode": "MMT"},
        "depth": {"value": "20", "unitCode": "MMT"}, "weight": {"value": "1940", "unitCode": "GRM"},
    }  # fmt: skip
    assert {one["unitCode"] for one in measured.values()} <= set(TERMS["unit_codes"])
    assert found["offers"]["properties"] == {
        "price": "189.00", "priceCurrency": "EUR", "availability": "https://schema.org/InStock",
        "itemCondition": "https://schema.org/NewCondition", "url": f"{ROOT}/shop/{number}/",
    }  # fmt: skip
    assert "https://schema.org/NewCondition" in TERMS["members"]["OfferItemCondition"]


def test_what_the_vocabulary_does_not_know_is_found_out():
    wrong = {"properties": {"thickness": "1", "width": {"type": "https://schema.org/Offer", "properties": {}}}}
    assert typed_right("Product", wrong) == ["Product.thickness", "Product.width is no Offer"]


def test_a_price_is_told_to_machines_only_where_its_currency_is_known_for_sure(heron):
    for changes in ({"currency_symbol": "$"}, {"currency_code": "€"}, {"currency_exponent": 0}):
        Workshop.objects.filter(pk=1).update(
            **{"currency_symbol": "€", "currency_code": "EUR", "currency_exponent": 2, **changes}
        )
        offer = things_on(piece_page(heron))[0]["properties"]["offers"]["properties"]
        assert "price" not in offer and "priceCurrency" not in offer, changes
        assert "€\u00a0189.00" in get(piece_page(heron)).content.decode()


def test_where_no_prices_are_shown_none_stands_anywhere(heron):
    ShopPage.objects.update(shows_prices=False)
    for address in ("/shop/", piece_page(heron)):
        assert "189" not in get(address).content.decode()
    assert "price" not in things_on(piece_page(heron))[0]["properties"]["offers"]["properties"]


@pytest.mark.parametrize("page", ["shop", "piece"])
def test_a_link_to_a_page_is_shown_with_its_title_words_and_photo_by_whole_addresses(owner, heron, settings, page):
    settings.PUBLIC_ROOT = ROOT
    photo = visitors.photographed(heron)
    visitors.shown(owner, heron)
    address = "/shop/" if page == "shop" else piece_page(heron)
    body = get(address).content.decode()
    found = dict(extruct.extract(body, base_url=ROOT, syntaxes=["opengraph"])["opengraph"][0]["properties"])
    size = photo.sizes.last()
    assert found["og:url"] == ROOT + address and f'rel="canonical" href="{ROOT}{address}"' in body
    assert found["og:image"] == f"{ROOT}/shop/{heron.piece.number}/photo-{photo.pk}-{size.width}.jpg"
    assert (found["og:image:width"], found["og:image:height"]) == (str(size.width), str(size.height))
    assert found["og:title"] == ("Reedbank Workshop" if page == "shop" else "Heron & reeds")
    assert found["og:type"] == "website" and found["og:description"] == (
        "Boards from the creek." if page == "shop" else "A heron, standing."
    )


def test_care_cautions_allergens_and_papers_stand_on_a_piece_s_page(heron):
    body = unescape(get(piece_page(heron)).content.decode())
    for words in (
        "Hang it from two screws.", "Black walnut", "Check papers before sending it abroad.", "It stands in an annex.",
        "Juglans nigra", "Finished with Hard oil.", "an invented sheet", "Made to hang on a wall", "Not for food",
        "Contains Black walnut wood.", "about 1.9 kg", "Rags",
    ):  # fmt: skip
        assert words in body, words


def test_the_owner_looks_at_it_before_it_is_opened_and_a_helper_does_not(owner, job, client, db):
    listing = work.listing(owner, job, title="Otter")
    photo = visitors.photographed(listing)
    visitors.shown(owner, listing)
    look = ["/listings/shop/look/", f"/listings/shop/look/{listing.piece.number}/"]
    width = photo.sizes.last().width
    client.force_login(owner)
    for address in look:
        answer = client.get(address)
        body = answer.content.decode()
        assert answer.status_code == 200 and "nobody does yet" in body and "Otter" in body
        assert f"/listings/shop/photo-{photo.pk}-{width}.jpg" in body and 'content="noindex"' in body
        assert answer.headers["Cache-Control"] == "private, no-store"
    assert client.get(f"/listings/shop/photo-{photo.pk}-{width}.jpg").headers["Content-Type"] == "image/jpeg"
    client.force_login(Member.objects.create_user("joss", password="x"))
    for address in (*look, f"/listings/shop/photo-{photo.pk}-{width}.jpg"):
        assert client.get(address).status_code == 403


def test_what_the_page_says_is_written_and_of_two_who_write_both_are_seen(owner, client, db):
    client.force_login(owner)
    address = reverse("listings:shop_page")
    typed = {"title": "Boards by the creek", "words": "", "about": "", "shows_prices": "on", "edit_version": "0"}
    answer = client.post(address, {**typed, "form_key": "a" * 32})
    assert answer.status_code == 302
    page = ShopPage.objects.get()
    assert (page.title, page.on, page.takes_enquiries) == ("Boards by the creek", False, False)
    late = client.post(address, {**typed, "title": "Otters", "form_key": "b" * 32})
    assert late.status_code == 409 and "Boards by the creek" in late.content.decode()
    long = client.post(address, {**typed, "about": "x" * 601, "edit_version": "1", "form_key": "c" * 32})
    assert long.status_code == 422 and "601" in long.content.decode()


def test_the_switch_is_pressed_once_and_told(owner, client, db):
    client.force_login(owner)
    for key in ("a" * 32, "a" * 32):
        assert client.post(reverse("listings:switch_shop"), {"on": "yes", "form_key": key}).status_code == 302
    assert ShopPage.objects.get().on
    assert AuditLine.objects.filter(what__contains="opened to visitors").count() == 1


def test_a_listing_is_shown_with_the_photos_that_are_ticked(owner, job, client, db):
    listing = work.listing(owner, job, title="Otter")
    front, back, flaw = (visitors.photographed(listing, chosen=n == 1, place=n) for n in (1, 2, 3))
    client.force_login(owner)
    visitors.open_shop()
    address = reverse("listings:show", args=[listing.pk])
    assert f"photo_{front.pk}" not in client.get(address).content.decode()
    typed = {"public": "on", f"photo_{back.pk}": "on", "edit_version": listing.edit_version, "form_key": "a" * 32}
    assert client.post(address, typed).status_code == 302
    run_waiting_tasks()
    body = get(piece_page(listing)).content.decode()
    assert f"photo-{front.pk}-" in body and f"photo-{back.pk}-" in body and f"photo-{flaw.pk}-" not in body
    late = client.post(address, {**typed, "form_key": "b" * 32})
    assert late.status_code == 409
    state(listing, "withdrawn")
    listing.refresh_from_db()
    refused = client.post(address, {**typed, "edit_version": listing.edit_version, "form_key": "c" * 32})
    assert refused.status_code == 422 and "withdrawn" in refused.content.decode()


def test_more_pieces_than_a_page_holds_are_on_the_next_and_no_query_comes_with_them(owner, job, heron):
    def counted(address: str) -> int:
        with CaptureQueriesContext(connection) as taken:
            assert get(address).status_code == 200
        assert not [one for one in taken if one["sql"].lstrip().upper().startswith(("INSERT", "UPDATE", "DELETE"))]
        return len(taken)

    visitors.photographed(heron)
    visitors.shown(owner, heron)
    with_one = counted("/shop/"), counted(piece_page(heron))
    today = timezone.localdate()
    pieces = Piece.objects.bulk_create(
        Piece(number=500 + n, job=job, title=f"Flag {n}", made_on=today - timedelta(days=n), facts=FACTS)
        for n in range(30)
    )
    Listing.objects.bulk_create(
        Listing(
            piece=piece, job=job, title=piece.title, price=Decimal(90), currency_symbol="€", currency_exponent=2,
            public=True,
        )
        for piece in pieces
    )  # fmt: skip
    visitors.photographed(Listing.objects.get(title="Flag 29"))
    assert (counted("/shop/"), counted(piece_page(heron))) == with_one and with_one[0] <= 6 and with_one[1] <= 5
    assert get("/shop/").content.decode().count("<li>") == 24
    second = get("/shop/?page=2").content.decode()
    assert second.count("<li>") == 7 and "Heron" in second and "page=2" in second


@pytest.mark.parametrize("name", ["listings:shop_page", "listings:preview", "listings:enquiries"])
def test_the_owner_s_pages_take_as_many_queries_with_many_listings_as_with_few(owner, job, client, db, name):
    def counted() -> int:
        with CaptureQueriesContext(connection) as taken:
            assert client.get(reverse(name)).status_code == 200
        return len(taken)

    client.force_login(owner)
    visitors.a_public_page(owner, work.listing(owner, job))
    few = counted()
    for n in range(3):
        more = work.listing(owner, job, title=f"Flag {n}")
        visitors.photographed(more)
        visitors.shown(owner, more)
        visitors.asked(more, words=f"Question {n}")
    assert counted() == few <= 9
