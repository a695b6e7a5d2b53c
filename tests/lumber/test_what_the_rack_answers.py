"""One question, one list: worth, promises, from which day fit to mill, too short for anything."""

from __future__ import annotations

import secrets
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db.models import Sum
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.common import tables
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock import actions, promises
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.workshop.models import Workshop
from tests.support.rack import boards
from tests.support.shop import add_woods

RACK = "/woods/rack/"
TODAY = timezone.localdate()


@pytest.fixture
def stock(owner) -> dict[str, StockPiece]:
    """Walnut: two of 300 mm in the loft, fit a week ago; one of 2 m promised to Heron, fit in a week. One padauk of
    304 mm, no day noted."""
    add_woods("walnut-black", "padauk")
    week = timedelta(days=7)
    dry = {"fit_on": TODAY - week, "moisture": Decimal("8.5"), "moisture_on": date(2026, 2, 1)}
    boards(owner, 2, length=Length.of_mm(300), place="loft", price=Decimal("4.10"), per="piece", facts=dry)
    (long,) = boards(owner, 1, price=Decimal(30), per="piece", facts={"fit_on": TODAY + week})
    boards(owner, 1, wood="padauk", length=Length.of_mm(304), price=Decimal("12.34"), per="piece")
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="test:1"), pieces=[long])
    return {piece.mark: piece for piece in StockPiece.objects.all()}


def marks(answer) -> list[str]:
    return [piece.mark for group in answer.context["groups"] for piece in group.pieces]


def scrap(client, *pieces: StockPiece, reason: str = "too short", **changes):
    ticks = [f"{piece.pk}.{piece.edit_version}" for piece in pieces]
    typed = {"form_key": secrets.token_urlsafe(24), "reason": reason, "tick": ticks}
    return client.post(reverse("lumber:short"), {**typed, **changes})


def balanced() -> bool:
    return pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_what_the_rack_is_worth_by_wood_and_by_place_adds_up(stock, owner_client):
    worths = owner_client.get(reverse("lumber:worth")).context["worths"]
    # Against the database's own sum.
    assert worths.all.worth == StockPiece.objects.aggregate(all=Sum("worth"))["all"] == Decimal("50.54")
    assert [(wood.wood, sums.worth, sums.pieces) for wood, sums in worths.woods] == [
        ("walnut-black", Decimal("38.20"), 3), ("padauk", Decimal("12.34"), 1),
    ]  # fmt: skip
    assert [(place, sums.worth) for place, sums in worths.places] == [("", Decimal("42.34")), ("loft", Decimal("8.20"))]
    exact = Fraction(27 * 150 * (300 + 300 + 2000)) / (144 * Fraction("25.4") ** 3)
    assert worths.woods[0][1].feet == exact


def test_what_it_is_worth_is_the_owner_s_and_its_sums_are_nowhere_else(stock, helper_client):
    assert helper_client.get(reverse("lumber:worth")).status_code == 403
    for name in ("lumber:promised", "lumber:fit", "lumber:short", "lumber:rack"):
        body = helper_client.get(reverse(name)).content.decode()
        assert "worth" not in body.lower() and "€" not in body and "Scrap" not in body, name


def test_what_is_promised_is_told_by_whom_with_its_woods(stock, owner_client):
    answer = owner_client.get(reverse("lumber:promised"))
    (heron,) = answer.context["page"].object_list
    assert (heron.label, heron.sums.pieces, heron.sums.worth) == ("Heron", 1, Decimal("30.00"))
    assert [wood for wood, _ in heron.woods] == ["Black walnut"]
    assert marks(owner_client.get(RACK, {"to": heron.demand})) == ["W3"]
    assert marks(owner_client.get(RACK, {"to": "any"})) == ["W3"]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"fit": "now"}, ["W1", "W2"]),
        ({"fit": "later"}, ["W3"]),
        ({"fit": "unknown"}, ["P4"]),
        ({"most": "300"}, ["W1", "W2"]),
        ({"least": "301", "most": "304"}, ["P4"]),
    ],
)
def test_the_list_is_narrowed_by_the_day_it_is_fit_and_by_the_longest(stock, owner_client, asked, found):
    assert marks(owner_client.get(RACK, asked)) == found
    rows = tables.read(b"".join(owner_client.get(reverse("lumber:rack_csv"), asked).streaming_content))
    assert sorted(row["mark"] for row in rows) == sorted(found)


def test_lots_stand_by_the_day_they_are_fit_with_their_meter_reading(stock, owner_client):
    answer = owner_client.get(reverse("lumber:fit"))
    assert answer.context["counts"] == {"now": 2, "later": 1, "unknown": 1}
    assert [(lot.wood, lot.here) for lot, _ in answer.context["lines"]] == [
        ("walnut-black", 2), ("walnut-black", 1), ("padauk", 1),
    ]  # fmt: skip
    body = answer.content.decode()
    assert "meter 8.5 %" in body and "1 Feb 2026" in body and "no day noted" in body
    lot = answer.context["lines"][0][0]
    assert marks(owner_client.get(RACK, {"lot": lot.pk})) == ["W1", "W2"]


def test_one_line_on_top_says_what_was_asked_and_what_it_comes_to(stock, owner_client):
    asked = {"wood": "walnut-black", "most": "300", "place": "loft", "free": "on"}
    body = " ".join(owner_client.get(RACK, asked).content.decode().replace("\u00a0", " ").split())
    assert "pieces of Black walnut, at most 300 mm long, in “loft”, free: 2.43 dm³, worth € 8.20." in body


def test_too_short_is_what_the_shop_s_own_limits_make_it(stock, owner_client):
    assert marks(owner_client.get(reverse("lumber:short"))) == ["P4", "W1", "W2"]
    Workshop.objects.update_or_create(pk=1, defaults={"shortest_machined": Length.of_mm(304)})
    answer = owner_client.get(reverse("lumber:short"))
    assert marks(answer) == ["W1", "W2"] and answer.context["limit"]["value"] == ["mm", "304"]
    Workshop.objects.update(shortest_machined=Length.of_mm(50))
    assert marks(owner_client.get(reverse("lumber:short"))) == []


def test_several_are_scrapped_with_a_reason_as_one_entry_and_undone_by_one(stock, owner_client):
    pieces = [stock["W1"], stock["W2"], stock["P4"]]
    assert scrap(owner_client, *pieces).status_code == 302
    entry = StockEntry.objects.first()
    assert entry.words == "P4, W1, W2 were scrapped: too short." and entry.moves.count() == 3
    assert StockPiece.objects.filter(state="scrapped").count() == 3 and balanced()
    page = owner_client.get(reverse("lumber:short"))
    assert page.context["together"].entry == entry
    typed = {"form_key": secrets.token_urlsafe(24), "entry": entry.pk}
    owner_client.post(reverse("lumber:piece_undo", args=[page.context["together"].mark]), typed)
    assert not StockPiece.objects.filter(state="scrapped").exists() and balanced()
    assert owner_client.get(reverse("lumber:short")).context["together"] is None


def test_sent_twice_they_are_scrapped_once(stock, owner_client):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert scrap(owner_client, stock["W1"], stock["W2"], form_key=key).status_code == 302
    assert StockEntry.objects.filter(kind="scrapped").count() == 1


@pytest.mark.parametrize(
    ("prepare", "sent", "said"),
    [
        (lambda owner, s: actions.move_piece(who=owner, piece=s["W2"], place="bench"), {}, "changed meanwhile"),
        (lambda owner, s: actions.scrap_piece(who=owner, piece=s["W2"], reason="worm"), {}, "not on the rack"),
        (lambda owner, s: None, {"reason": " "}, "Nothing is written here yet"),
        (lambda owner, s: None, {"tick": []}, "No piece is ticked"),
        (lambda owner, s: None, {"tick": ["x", "1", "-1.1"]}, "No piece is ticked"),
    ],
)
def test_all_of_them_or_none_is_scrapped_and_why_is_said(stock, owner, owner_client, prepare, sent, said):
    seen = {mark: StockPiece.objects.get(mark=mark) for mark in ("W1", "W2")}
    prepare(owner, {mark: StockPiece.objects.get(mark=mark) for mark in ("W1", "W2")})
    answer = scrap(owner_client, *seen.values(), **sent)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert StockPiece.objects.get(mark="W1").state == "here" and balanced()


def test_what_is_promised_is_not_scrapped_with_the_rest(stock, owner, owner_client):
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="test:1"), pieces=[stock["W1"]])
    answer = scrap(owner_client, StockPiece.objects.get(mark="W1"), stock["W2"])
    assert answer.status_code == 422 and "W1 is promised to Heron." in answer.content.decode() and balanced()


def test_a_helper_scraps_nothing_from_the_list(stock, helper_client):
    assert scrap(helper_client, stock["W1"]).status_code == 403
    assert StockPiece.objects.get(mark="W1").state == "here"
