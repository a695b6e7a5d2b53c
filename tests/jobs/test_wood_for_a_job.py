"""Wood is chosen, reserved, taken and brought back for a job: all that is ticked or none of it, and never twice."""

from __future__ import annotations

import json
import secrets
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.jobs.actions import move_job
from shopapp.jobs.models import Job
from shopapp.jobs.needs import needs_of
from shopapp.lumber.models import Demand, StockEntry, StockPiece
from shopapp.lumber.stock.actions import Size, measure_piece, set_piece_aside
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from tests.support import work
from tests.support.rack import boards

pytestmark = pytest.mark.django_db

mm = Length.of_mm


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


@pytest.fixture(scope="module")
def job(owner, plan):
    return work.job(owner, plan, label="Flag")


@pytest.fixture(autouse=True)
def the_book_balances(db):
    yield
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def tick(piece) -> str:
    piece.refresh_from_db()
    return f"{piece.pk}.{piece.edit_version}"


def press(client, job, do, ticks, **changes):
    typed = {"do": do, "tick": ticks, "form_key": secrets.token_urlsafe(24), **changes}
    return client.post(reverse("jobs:wood", args=[job.pk]), typed)


def states(*pieces) -> list[tuple[str, str | None]]:
    rows = {p.pk: p for p in StockPiece.objects.select_related("demand")}
    return [(rows[p.pk].state, rows[p.pk].demand.key if rows[p.pk].demand else None) for p in pieces]


# --- what it needs and what there is ----------------------------------------------------------------------------


def test_what_it_needs_is_what_the_plan_s_record_says(owner, owner_client, job, plan):
    """A wood sold by the cubic metre is told in board feet too: 1 m³ is 423.776 of them (144 in³ each)."""
    needs = needs_of(plan)
    for wood in plan.record["woods"]:
        assert wood["gross"]["unit"] == "bf" and needs[wood["wood"]] == Fraction(wood["gross"]["value"][1])
    record = json.loads(plan.result)
    sold_by_volume = record["woods"][0]
    sold_by_volume["gross"] = {"value": ["fraction", "1/1000"], "unit": "m3"}
    other = Plan(result=json.dumps(record))
    assert float(needs_of(other)[sold_by_volume["wood"]]) == pytest.approx(0.423776, abs=1e-6)


def test_needed_reserved_out_and_still_stand_side_by_side(owner, owner_client, job):
    held, out = boards(owner, 2, wood="walnut-black", thickness=mm(20), width=mm(50), length=mm(300))
    work.give(owner, job, "reserve", held)
    work.give(owner, job, "take", out)
    one = Fraction(20 * 50 * 300) / (144 * Fraction("25.4") ** 3)
    needs = {line.wood.wood: line for line in owner_client.get(job.get_absolute_url()).context["needs"]}
    walnut = needs["walnut-black"]
    assert (walnut.reserved, walnut.pieces_reserved, walnut.out, walnut.pieces_out) == (one, 1, one, 1)
    assert walnut.need == needs_of(job.plan)["walnut-black"]
    assert walnut.still == max(0, walnut.need - 2 * one)
    assert needs["sycamore"].reserved == 0 and needs["sycamore"].still == needs["sycamore"].need


def test_free_pieces_of_the_woods_it_needs_are_offered_longest_first_and_others_on_asking(owner, owner_client, job):
    boards(owner, 1, wood="walnut-black", length=mm(900))
    boards(owner, 1, wood="walnut-black", length=mm(1900))
    boards(owner, 1, wood="sapele")
    aside, other = boards(owner, 2, wood="sycamore")
    set_piece_aside(who=owner, piece=aside, reason="wet")
    work.give(owner, work.job(owner, label="Other"), "reserve", other)
    address = reverse("jobs:wood", args=[job.pk])

    def offered(**asked):
        page = owner_client.get(address, asked)
        return [piece.mark for group in page.context["free"] for piece in group.pieces]

    assert offered() == ["W2", "W1"]
    assert offered(wood="every") == ["S3", "W2", "W1"]
    assert offered(wood="sapele") == ["S3"]
    # Where a length is asked for, the shortest that does comes first, so that the long ones are kept.
    assert offered(least="800") == ["W1", "W2"] and offered(least="1000") == ["W2"]
    page = owner_client.get(address)
    assert [(piece.mark, piece.demand.label) for piece, _ in page.context["others"]] == [("S5", "Other")]


def test_what_was_ticked_stays_ticked_when_the_list_is_narrowed(owner, owner_client, job):
    (short,) = boards(owner, 1, length=mm(300))
    boards(owner, 1, length=mm(1900))
    answer = press(owner_client, job, "show", [tick(short)], wood="", least="1000")
    assert (
        answer.status_code == 302
        and f"tick={tick(short)}" in answer.url
        and not StockEntry.objects.filter(demand__isnull=False)
    )
    page = owner_client.get(answer.url)
    assert page.context["ticked"] == {short.pk}
    assert {p.mark for group in page.context["free"] for p in group.pieces} == {"W1", "W2"}


# --- all or none, once ------------------------------------------------------------------------------------------


def test_all_ticked_are_reserved_taken_and_the_story_reads_as_sentences(owner, owner_client, job):
    first, second = boards(owner, 2)
    assert press(owner_client, job, "reserve", [tick(first), tick(second)]).status_code == 302
    assert states(first, second) == [("here", job.key)] * 2
    press(owner_client, job, "take", [tick(first)])
    press(owner_client, job, "release", [tick(second)])
    assert states(first, second) == [("taken", job.key), ("here", None)]
    told = [one.words for one in owner_client.get(job.get_absolute_url()).context["story"]]
    assert told[:3] == ["W2 is free again.", "W1 was taken for Flag.", "W1, W2 were reserved for Flag."]


def test_a_free_piece_can_be_taken_at_once(owner, owner_client, job):
    (piece,) = boards(owner, 1)
    press(owner_client, job, "take", [tick(piece)])
    assert states(piece) == [("taken", job.key)]


@pytest.mark.parametrize("do", ["reserve", "take"])
def test_a_piece_somebody_took_meanwhile_is_named_and_the_other_ticks_stay(owner, owner_client, job, do):
    mine, gone, promised = boards(owner, 3)
    ticks = [tick(piece) for piece in (mine, gone, promised)]
    other = work.job(owner, label="Otter")
    work.give(owner, other, "take", gone)
    work.give(owner, other, "reserve", promised)
    answer = press(owner_client, job, do, ticks)
    page = answer.content.decode()
    assert answer.status_code == 409 and "error-summary" in page
    assert "W2 is not on the rack any more: taken for Otter." in page
    assert "W3 was promised to Otter meanwhile." in page
    assert "Nothing was changed; whatever else was ticked still is." in page
    assert answer.context["ticked"] == {mine.pk} and states(mine) == [("here", None)]


def test_a_piece_that_is_not_as_it_was_seen_is_not_given(owner, owner_client, job):
    (piece,) = boards(owner, 1)
    seen = tick(piece)
    measure_piece(who=owner, piece=piece, size=Size(mm(27), mm(150), mm(400)))
    answer = press(owner_client, job, "reserve", [seen])
    assert answer.status_code == 409 and "W1 was changed meanwhile" in answer.content.decode()
    assert states(piece) == [("here", None)]


def test_a_second_press_or_a_lost_connection_changes_nothing_more(owner, owner_client, job):
    first, second = boards(owner, 2)
    for do, expected in (("reserve", "here"), ("take", "taken")):
        key = secrets.token_urlsafe(24)
        sent = [tick(first), tick(second)]
        for _ in range(3):
            answer = press(owner_client, job, do, sent, form_key=key)
            assert answer.status_code == 302
        assert states(first, second) == [(expected, job.key)] * 2
    assert StockEntry.objects.filter(kind__in=["reserved", "taken"]).count() == 2


def test_a_refused_press_can_be_sent_again_with_what_is_left(owner, owner_client, job):
    mine, gone = boards(owner, 2)
    key, ticks = secrets.token_urlsafe(24), [tick(mine), tick(gone)]
    work.give(owner, work.job(owner), "take", gone)
    assert press(owner_client, job, "reserve", ticks, form_key=key).status_code == 409
    assert press(owner_client, job, "reserve", [tick(mine)], form_key=key).status_code == 302
    assert states(mine) == [("here", job.key)]


@pytest.mark.parametrize(
    ("do", "ticks", "said"),
    [
        ("reserve", [], "No piece was chosen"),
        ("take", ["x", "1", "1.x", "-1.1", "9" * 30 + ".1", "٣.1"], "No piece was chosen"),
        ("burn", ["1.1"], "Nothing was named to be done"),
        ("reserve", [f"{n}.1" for n in range(201)], "More than 200 pieces are ticked"),
    ],
)
def test_nonsense_is_answered_in_words(owner, owner_client, job, do, ticks, said):
    boards(owner, 1)
    answer = press(owner_client, job, do, ticks)
    assert answer.status_code == 422 and said in answer.content.decode()


def test_what_is_promised_to_another_is_not_released_from_here(owner, owner_client, job):
    (piece,) = boards(owner, 1)
    other = work.job(owner, label="Otter")
    work.give(owner, other, "reserve", piece)
    answer = press(owner_client, job, "release", [tick(piece)])
    assert answer.status_code == 409 and "is not promised to Flag" in answer.content.decode()
    assert states(piece) == [("here", other.key)]


def test_looking_makes_no_demand(owner, owner_client, job):
    before = list(Demand.objects.values_list("pk", "label"))
    owner_client.get(reverse("jobs:wood", args=[job.pk]))
    assert list(Demand.objects.values_list("pk", "label")) == before


# --- brought back -----------------------------------------------------------------------------------------------


def back(client, job, piece, **typed):
    piece.refresh_from_db()
    keys = {"form_key": secrets.token_urlsafe(24), "edit_version": piece.edit_version}
    return client.post(reverse("jobs:back", args=[job.pk, piece.mark]), {**keys, "do": "parts", **typed})


@pytest.fixture
def out(owner, job):
    """A board of 27 by 150 by 2000 mm worth 40.00, out for the job."""
    (piece,) = boards(owner, 1, price=Decimal("40.00"), per="piece")
    work.give(owner, job, "take", piece)
    return piece


def test_measured_offcuts_come_back_each_with_a_mark_and_its_share(owner_client, job, out):
    answer = back(owner_client, job, out, length_1="500", length_2="250", width_2="75", thickness_2="20")
    assert answer.status_code == 302
    assert "Chalk W1a and W1b on what came back." in owner_client.get(answer.url).content.decode()
    a, b = StockPiece.objects.filter(parent=out).order_by("mark")
    assert (a.thickness, a.width, a.length) == (mm(27), mm(150), mm(500)) and b.width == mm(75)
    # By hand: 500 of 2000 mm are a quarter of 40.00; 20 × 75 × 250 of 27 × 150 × 2000 mm³ are 1.85 of it.
    assert (a.worth, b.worth) == (Decimal("10.00"), Decimal("1.85"))
    page = owner_client.get(reverse("jobs:wood", args=[job.pk])).content.decode()
    assert "W1a" in page and "Bring back" in page


def test_more_can_come_back_later_but_never_more_than_was_taken(owner_client, job, out):
    back(owner_client, job, out, length_1="1500")
    assert "W1a came back before" in owner_client.get(reverse("jobs:back", args=[job.pk, "W1"])).content.decode()
    answer = back(owner_client, job, out, length_1="501")
    assert answer.status_code == 422 and "More would come back than W1 was" in answer.content.decode()
    assert back(owner_client, job, out, length_1="500").status_code == 302
    assert StockPiece.objects.filter(parent=out).count() == 2


def test_a_whole_piece_comes_back_under_its_own_mark_worth_what_it_was(owner_client, job, out):
    assert back(owner_client, job, out, do="whole", length_1="what stands here is not looked at").status_code == 302
    out.refresh_from_db()
    assert (out.state, out.demand, out.worth) == ("here", None, Decimal("40.00"))
    assert not StockPiece.objects.filter(parent=out).exists()
    assert StockEntry.objects.first().words == "W1 came back whole."
    assert owner_client.get(reverse("jobs:back", args=[job.pk, "W1"])).status_code == 404


def test_what_came_back_in_parts_does_not_come_back_whole_besides(owner_client, job, out):
    back(owner_client, job, out, length_1="500")
    answer = back(owner_client, job, out, do="whole")
    assert answer.status_code == 422 and "Parts of W1 came back already" in answer.content.decode()


def test_a_piece_taken_brought_back_whole_and_taken_again_comes_back_in_parts(owner, owner_client, job, out):
    back(owner_client, job, out, do="whole")
    work.give(owner, job, "take", out)
    assert back(owner_client, job, out, length_1="2000").status_code == 302
    assert StockPiece.objects.get(parent=out).worth == Decimal("40.00")


def test_bringing_back_twice_brings_back_once(owner_client, job, out):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert back(owner_client, job, out, length_1="500", form_key=key).status_code == 302
    stale = back(owner_client, job, out, length_1="500", edit_version="1")
    assert stale.status_code == 409 and "was changed meanwhile" in stale.content.decode()
    assert StockPiece.objects.filter(parent=out).count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "No part is measured"),
        ({"length_1": "2001"}, "W1 itself had less when it was taken"),
        ({"length_1": "500", "width_1": "151"}, "W1 itself had less when it was taken"),
        ({"length_1": "0"}, "0"),
        ({"length_1": "-5"}, "-5"),
        ({"width_3": "70"}, "Part 3 has no length"),
    ],
)
def test_what_cannot_come_back_is_said_and_what_was_typed_stays(owner_client, job, out, typed, said):
    answer = back(owner_client, job, out, length_6="17.25", **typed) if typed else back(owner_client, job, out)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert not typed or "17.25" in answer.content.decode()
    assert not StockPiece.objects.filter(parent=out).exists()


def test_a_piece_out_for_another_job_is_not_brought_back_from_here(owner, owner_client, job, out):
    other = work.job(owner, label="Otter")
    assert back(owner_client, other, out, length_1="500").status_code == 404


def test_whoever_helps_takes_and_brings_back_and_sees_no_worth(owner, client, job):
    (piece,) = boards(owner, 1, price=Decimal("40.00"), per="piece")
    client.force_login(Member.objects.create_user("joss", password="x"))
    press(client, job, "take", [tick(piece)])
    page = client.get(reverse("jobs:back", args=[job.pk, piece.mark])).content.decode()
    assert "worth" not in page and "40.00" not in page
    assert back(client, job, piece, length_1="500").status_code == 302
    assert StockEntry.objects.first().who.username == "joss"


# --- called off -------------------------------------------------------------------------------------------------


def test_calling_a_job_off_frees_what_is_reserved_and_brings_back_what_is_untouched(owner, owner_client, job):
    first, second, out = boards(owner, 3)
    work.give(owner, job, "reserve", first, second)
    work.give(owner, job, "take", out)
    job.refresh_from_db()
    work.move(owner, job, "called off")
    assert states(first, second, out) == [("here", None)] * 3
    assert job.events.first().words == "Flag was called off. W1, W2 are free again. W3 came back whole."
    page = owner_client.get(reverse("jobs:wood", args=[job.pk])).content.decode()
    assert "wood comes back from it and none goes to it" in page and "Reserve the ticked" not in page
    answer = press(owner_client, job, "take", [tick(first)])
    assert answer.status_code == 422 and states(first) == [("here", None)]


def test_calling_off_is_all_or_nothing(owner, job, monkeypatch):
    (piece,) = boards(owner, 1)
    work.give(owner, job, "reserve", piece)
    job.refresh_from_db()

    def fails(*_, **__):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("shopapp.jobs.actions._tell", fails)
    with pytest.raises(RuntimeError):
        move_job(who=owner, job=job, state="called off", seen_version=job.edit_version)
    assert states(piece) == [("here", job.key)] and Job.objects.get().state == "planned"
