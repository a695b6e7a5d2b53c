"""Every piece of wood is in the book: what it was, what became of it, and what it was worth on the way."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import DatabaseError, connection, transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.lumber.models import Lot, StockEntry, StockMove, StockPiece
from shopapp.lumber.stock import actions, promises
from shopapp.lumber.stock.actions import Size
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.lumber.stock.ledger import StockMoved
from tests.support.rack import boards, delivery, line, supplier

pytestmark = [pytest.mark.storage, pytest.mark.django_db]


def mm(*sides: int) -> Size:
    return Size(*(Length.of_mm(side) for side in sides))


def balanced() -> bool:
    return pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def rack_by_plain_sql() -> Decimal:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT SUM(CASE WHEN went_to = 'rack' THEN worth ELSE 0 END)"
            " - SUM(CASE WHEN came_from = 'rack' THEN worth ELSE 0 END) FROM lumber_stockmove"
        )
        return Decimal(str(cursor.fetchone()[0])).quantize(Decimal("0.01"))


def test_a_line_of_three_boards_is_three_pieces_that_cost_together_what_the_line_cost(owner):
    delivery(owner, line(count=3, price=Decimal("10.01"), per="piece"), line("padauk"), carriage=Decimal("7.00"))
    lots = list(Lot.objects.order_by("number"))
    assert [lot.pieces.count() for lot in lots] == [3, 1]
    assert sum(lot.cost for lot in lots) == sum(piece.worth for piece in StockPiece.objects.all())
    # Three boards of four alike bear three quarters of the carriage.
    assert lots[0].cost == Decimal("30.03") + Decimal("5.25")
    assert sorted(p.worth for p in lots[0].pieces.all()) == [Decimal("11.76")] * 3
    assert balanced()


def test_marks_are_short_and_nobody_shares_one(owner):
    boards_ = [*boards(owner, 2), *boards(owner, 2, wood="padauk")]
    assert [piece.mark for piece in boards_] == ["W1", "W2", "P3", "P4"]


def test_what_is_split_off_a_board_set_aside_is_set_aside_for_the_same_reason(owner):
    (board,) = boards(owner, 1)
    board = actions.set_piece_aside(who=owner, piece=board, reason="still wet at the heart")
    parts = actions.split_piece(who=owner, piece=board, parts=[mm(27, 150, 1200), mm(27, 150, 600)])
    assert [part.set_aside for part in parts] == ["still wet at the heart"] * 2
    assert balanced()


def test_scrapping_a_promised_board_says_who_waits_for_it(owner):
    (board,) = boards(owner, 1)
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="job 1"), pieces=[board])
    board.refresh_from_db()
    actions.scrap_piece(who=owner, piece=board, reason="a split")
    assert StockEntry.objects.first().words == "W1 was scrapped: a split. It was promised to Heron."


def test_a_split_board_lives_on_in_its_parts_which_share_its_worth_by_volume(owner):
    (board,) = boards(owner, 1, price=Decimal("30.00"), per="piece")
    long, short = actions.split_piece(who=owner, piece=board, parts=[mm(27, 150, 1200), mm(27, 150, 600)])
    assert (long.mark, short.mark) == ("W1a", "W1b")
    assert (long.worth, short.worth) == (Decimal("20.00"), Decimal("10.00"))
    board.refresh_from_db()
    assert (board.state, board.worth) == ("split", 0)
    assert balanced() and rack_by_plain_sql() == Decimal("30.00")


def test_parts_cannot_be_larger_than_what_they_were_cut_from(owner):
    (board,) = boards(owner, 1)
    for parts in ([mm(27, 151, 100)], [mm(27, 150, 1200), mm(27, 150, 900)], []):
        with pytest.raises(PlannerError):
            actions.split_piece(who=owner, piece=board, parts=parts)
    assert StockEntry.objects.count() == 1 and balanced()


def test_a_scrapped_board_needs_a_reason_and_its_worth_is_waste(owner):
    (board,) = boards(owner, 1, price=Decimal("30.00"), per="piece")
    with pytest.raises(PlannerError):
        actions.scrap_piece(who=owner, piece=board, reason="  ")
    actions.scrap_piece(who=owner, piece=board, reason="worm")
    move = StockMove.objects.get(went_to="waste")
    assert move.worth == Decimal("30.00") and rack_by_plain_sql() == 0 and balanced()


def test_each_thing_done_is_undone_by_an_entry_of_its_own(owner):
    (board,) = boards(owner, 1)
    start = StockPiece.objects.values(
        "thickness", "width", "length", "surfaced", "place", "state", "set_aside", "worth"
    )
    before = start.get(pk=board.pk)
    acts = [
        lambda piece: actions.measure_piece(who=owner, piece=piece, size=mm(26, 149, 1990)),
        lambda piece: actions.surface_piece(who=owner, piece=piece, thickness=Length.of_mm(21)),
        lambda piece: actions.move_piece(who=owner, piece=piece, place="loft"),
        lambda piece: actions.set_piece_aside(who=owner, piece=piece, reason="still wet"),
        lambda piece: actions.scrap_piece(who=owner, piece=piece, reason="split"),
        lambda piece: actions.split_piece(who=owner, piece=piece, parts=[mm(27, 150, 900)]),
    ]
    for act in acts:
        piece = StockPiece.objects.get(pk=board.pk)
        act(piece)
        entry = StockEntry.objects.first()
        assert start.get(pk=board.pk) != before
        actions.undo_entry(who=owner, entry=entry)
        assert start.get(pk=board.pk) == before and balanced()
        with pytest.raises(PlannerError, match="undone already"):
            actions.undo_entry(who=owner, entry=entry)
    assert StockPiece.objects.get(mark="W1a").state == "undone"


def test_what_was_built_on_is_not_undone_under_it(owner):
    (board,) = boards(owner, 1)
    (part,) = actions.split_piece(who=owner, piece=board, parts=[mm(27, 150, 900)])
    split = StockEntry.objects.first()
    actions.scrap_piece(who=owner, piece=part, reason="knot")
    with pytest.raises(StockMoved, match="changed since"):
        actions.undo_entry(who=owner, entry=split)
    actions.undo_entry(who=owner, entry=StockEntry.objects.first())
    actions.undo_entry(who=owner, entry=split)
    board.refresh_from_db()
    assert board.state == "here" and balanced()


def test_a_delivery_booked_in_error_is_undone_whole(owner):
    delivery(owner, line(count=2), line("padauk"))
    actions.undo_entry(who=owner, entry=StockEntry.objects.get())
    assert set(StockPiece.objects.values_list("state", flat=True)) == {"undone"}
    assert rack_by_plain_sql() == 0 and balanced()


def test_reserved_wood_is_taken_only_by_the_one_it_was_promised_to(owner):
    mine, other = boards(owner, 2)
    heron = promises.want_wood(label="Heron for the spring fair", key="test:1")
    otter = promises.want_wood(label="Otter", key="test:2")
    promises.reserve(who=owner, demand=heron, pieces=[mine])
    with pytest.raises(StockMoved, match="promised to Heron"):
        promises.take(who=owner, demand=otter, pieces=[StockPiece.objects.get(pk=mine.pk), other])
    assert StockPiece.objects.filter(state="taken").count() == 0
    promises.take(who=owner, demand=heron, pieces=[mine, other])
    assert StockPiece.objects.filter(state="taken", demand=heron).count() == 2 and balanced()


def test_released_wood_is_free_for_anybody(owner):
    (board,) = boards(owner, 1)
    heron = promises.want_wood(label="Heron for the spring fair", key="test:1")
    promises.reserve(who=owner, demand=heron, pieces=[board])
    promises.release(who=owner, pieces=[board])
    with pytest.raises(StockMoved, match="not promised"):
        promises.release(who=owner, pieces=[board])
    promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[board])
    assert StockPiece.objects.get().demand.label == "Otter" and balanced()


def test_all_or_nothing_is_taken(owner):
    one, two = boards(owner, 2)
    stale = StockPiece.objects.get(pk=two.pk)
    actions.move_piece(who=owner, piece=two, place="bench")
    with pytest.raises(StockMoved, match="changed meanwhile"):
        promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[one, stale])
    assert StockPiece.objects.filter(state="here").count() == 2 and balanced()


def test_an_offcut_comes_back_with_its_share_and_never_more_than_was_taken(owner):
    (board,) = boards(owner, 1, price=Decimal("40.00"), per="piece")
    otter = promises.want_wood(label="Otter", key="test:2")
    promises.take(who=owner, demand=otter, pieces=[board])
    (offcut,) = promises.bring_back(who=owner, piece=board, offcuts=[mm(27, 150, 500)])
    assert offcut.worth == Decimal("10.00") and offcut.parent == board
    board.refresh_from_db()
    with pytest.raises(PlannerError, match="More would come back"):
        promises.bring_back(who=owner, piece=board, offcuts=[mm(27, 150, 1600)])
    promises.bring_back(who=owner, piece=board, offcuts=[mm(27, 150, 1500)])
    assert rack_by_plain_sql() == Decimal("40.00") and balanced()


def test_a_form_sent_twice_changes_the_rack_once(owner):
    (board,) = boards(owner, 1)
    key = "k" * 30
    actions.move_piece(who=owner, piece=board, place="loft", spend=lambda: spend_key(key))
    with pytest.raises(AlreadySent):
        actions.move_piece(who=owner, piece=board, place="loft", spend=lambda: spend_key(key))
    assert StockEntry.objects.count() == 2


@pytest.mark.parametrize("table", ["stockentry", "stockmove", "lot", "delivery"])
def test_the_book_of_the_rack_is_never_rewritten(owner, table):
    boards(owner, 1)
    for statement in (f"UPDATE lumber_{table} SET id = id", f"DELETE FROM lumber_{table}"):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)


def test_a_piece_changed_behind_the_books_back_is_found(owner):
    (board,) = boards(owner, 1)
    StockPiece.objects.filter(pk=board.pk).update(worth=Decimal("1.00"))
    assert pieces_that_are_not_their_moves() and worth_that_came_or_went_unseen()


def test_a_line_that_cannot_be_tallied_is_named_by_its_place_among_all_lines(owner):
    seller = supplier(rule="surface")
    short = line(length=Length.of_mm(200))
    with pytest.raises(PlannerError, match="board of line 2"):
        delivery(owner, line(per="piece"), short, seller=seller)
