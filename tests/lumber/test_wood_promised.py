"""Pieces chosen for whoever wants them, known by a label and a key alone."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import Demand, StockEntry, StockPiece
from shopapp.lumber.promising.actions import InTheWay, Tick, do_with_ticked, read_ticks
from shopapp.lumber.promising.readers import demand_of, promised_to, to_choose, woods_wanted
from shopapp.lumber.promising.wanted import Wanted
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.actions import Size, split_piece, undo_entry
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.lumber.stock.ledger import StockMoved
from tests.support.rack import boards

mm = Length.of_mm


def wants(label: str = "A stool", key: str = "stool 1", **changes) -> Wanted:
    return Wanted(label, key, home="/", here="/wood/", bring_back=lambda mark: f"/wood/{mark}/", **changes)


def ticks(*pieces: StockPiece) -> list[Tick]:
    return [Tick(piece.pk, piece.edit_version) for piece in pieces]


@pytest.fixture(autouse=True)
def the_book_balances(db):
    yield
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_a_demand_is_made_with_the_first_piece_and_takes_a_newer_label(owner):
    first, second = boards(owner, 2)
    do_with_ticked(who=owner, wanted=wants(), do="reserve", ticks=ticks(first))
    do_with_ticked(who=owner, wanted=wants("A high stool"), do="reserve", ticks=ticks(second))
    assert Demand.objects.get().label == "A high stool"
    assert {piece.mark for piece in promised_to(demand_of("stool 1")).reserved} == {"W1", "W2"}


def test_of_a_refused_choice_nothing_stays_not_even_the_demand(owner):
    free, gone = boards(owner, 2)
    seen = ticks(free, gone)
    do_with_ticked(who=owner, wanted=wants("A bench", "bench"), do="take", ticks=ticks(gone))
    with pytest.raises(InTheWay) as refused:
        do_with_ticked(who=owner, wanted=wants(), do="take", ticks=seen)
    assert refused.value.marks == {gone.pk: "W2 is not on the rack any more: taken for A bench."}
    assert not Demand.objects.filter(key="stool 1").exists()
    assert StockEntry.objects.filter(kind="taken").count() == 1


def test_who_gave_up_wanting_wood_is_given_none_and_may_still_release_it(owner):
    first, second = boards(owner, 2)
    do_with_ticked(who=owner, wanted=wants(), do="reserve", ticks=ticks(first))
    first.refresh_from_db()
    closed = wants(refuses=lambda: "The stool was given up.")
    for do, piece in (("reserve", second), ("take", first)):
        with pytest.raises(PlannerError, match="was given up"):
            do_with_ticked(who=owner, wanted=closed, do=do, ticks=ticks(piece))
    do_with_ticked(who=owner, wanted=closed, do="release", ticks=ticks(first))
    assert not promised_to(demand_of("stool 1")).reserved


def test_a_tick_is_a_piece_and_the_version_it_was_seen_in():
    assert read_ticks(["12.3", "12.3", "x", "4", "5.", ".6", "٣.1", "-1.2"]) == [Tick(12, 3)]


def test_what_is_out_is_less_by_what_came_back(owner):
    (piece,) = boards(owner, 1)
    do_with_ticked(who=owner, wanted=wants(), do="take", ticks=ticks(piece))
    piece.refresh_from_db()
    promises.bring_back(who=owner, piece=piece, offcuts=[Size(mm(27), mm(150), mm(500))])
    (out,) = promised_to(demand_of("stool 1")).out
    # 27 by 150 mm over 1500 of its 2000 mm; a board foot is 144 cubic inches.
    assert out.feet == Fraction(27 * 150 * 1500) / (144 * Fraction("25.4") ** 3)
    (line,) = woods_wanted({"walnut-black": Fraction(1)}, promised_to(demand_of("stool 1")), woods_seen())
    assert line.still == 0 and line.pieces_out == 1


def test_a_ticked_piece_is_among_those_offered_however_the_list_is_narrowed(owner):
    short, long = boards(owner, 1, length=mm(400))[0], boards(owner, 1, length=mm(1800))[0]
    asked = {"wood": "", "least": mm(1000)}
    assert [piece.mark for piece in to_choose(asked, [], None, []).free] == [long.mark]
    assert [piece.mark for piece in to_choose(asked, [], None, [short.pk]).free] == [long.mark, short.mark]


def test_a_long_list_says_how_many_are_not_shown(owner):
    boards(owner, 75)
    found = to_choose({}, [], None, [])
    assert (len(found.free), found.more) == (60, 15)


def test_what_is_split_off_a_promised_piece_stays_promised_and_the_split_can_be_undone(owner):
    (piece,) = boards(owner, 1)
    do_with_ticked(who=owner, wanted=wants(), do="reserve", ticks=ticks(piece))
    piece.refresh_from_db()
    parts = split_piece(who=owner, piece=piece, parts=[Size(mm(27), mm(150), mm(length)) for length in (900, 1000)])
    demand = demand_of("stool 1")
    assert promised_to(demand).reserved == parts
    undo_entry(who=owner, entry=parts[0].moves.get().entry)
    assert promised_to(demand).reserved == [piece]


def test_a_piece_comes_back_whole_as_it_went(owner):
    (piece,) = boards(owner, 1, price=Decimal("33.33"), per="piece")
    do_with_ticked(who=owner, wanted=wants(), do="take", ticks=ticks(piece))
    piece.refresh_from_db()
    entry = promises.bring_back_whole(who=owner, piece=piece)
    piece.refresh_from_db()
    assert (piece.state, piece.demand, piece.worth) == ("here", None, Decimal("33.33"))
    move = entry.moves.get()
    assert (move.came_from, move.went_to, move.worth) == ("for stool 1", "rack", Decimal("33.33"))
    with pytest.raises(StockMoved, match="is not out"):
        promises.bring_back_whole(who=owner, piece=piece)


def test_a_piece_of_which_parts_came_back_does_not_come_back_whole(owner):
    (piece,) = boards(owner, 1)
    do_with_ticked(who=owner, wanted=wants(), do="take", ticks=ticks(piece))
    piece.refresh_from_db()
    promises.bring_back(who=owner, piece=piece, offcuts=[Size(mm(27), mm(150), mm(500))])
    piece.refresh_from_db()
    with pytest.raises(PlannerError, match="Parts of W1 came back already"):
        promises.bring_back_whole(who=owner, piece=piece)


def test_undoing_what_came_back_leaves_the_piece_it_came_of_out(owner):
    (piece,) = boards(owner, 1)
    do_with_ticked(who=owner, wanted=wants(), do="take", ticks=ticks(piece))
    piece.refresh_from_db()
    (part,) = promises.bring_back(who=owner, piece=piece, offcuts=[Size(mm(27), mm(150), mm(500), surfaced=True)])
    assert part.surfaced
    undo_entry(who=owner, entry=part.moves.get().entry)
    piece.refresh_from_db()
    part.refresh_from_db()
    assert (piece.state, piece.demand.key, part.state) == ("taken", "stool 1", "undone")
    promises.bring_back(who=owner, piece=piece, offcuts=[Size(mm(27), mm(150), mm(700))])
