"""The rack is counted against the book; what is otherwise becomes one entry, and another undoes it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import DatabaseError, connection, transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.models import AuditLine
from shopapp.lumber.counting.actions import Found, begin_stocktake, count_piece, take_back_count
from shopapp.lumber.counting.checks import worth_of_what_was_not_found
from shopapp.lumber.counting.closing import SeenOtherwise, close_stocktake, close_unwritten, closing_of
from shopapp.lumber.counting.differences import differences
from shopapp.lumber.counting.readers import pieces_marked, progress
from shopapp.lumber.models import StockEntry, StockMove, StockPiece, StocktakeCount
from shopapp.lumber.stock import actions, promises
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.people.models import Member
from tests.support.rack import boards

pytestmark = [pytest.mark.storage, pytest.mark.django_db]
LENGTH = Length.of_mm(1990)


@pytest.fixture
def rack(owner) -> list[StockPiece]:
    """Four walnuts at 10.00 in the loft, W1 to W4."""
    return boards(owner, 4, price=Decimal(10), per="piece", place="loft")


def now(piece: StockPiece) -> StockPiece:
    return StockPiece.objects.get(pk=piece.pk)


def balanced() -> bool:
    faults = [
        *pieces_that_are_not_their_moves(), *worth_that_came_or_went_unseen(), *worth_of_what_was_not_found(),
    ]  # fmt: skip
    return faults == []


def rack_by_plain_sql() -> Decimal:
    with connection.cursor() as cursor:
        cursor.execute("SELECT SUM(worth) FROM lumber_stockpiece WHERE state = 'here'")
        return Decimal(str(cursor.fetchone()[0] or 0)).quantize(Decimal("0.01"))


def close(owner, stocktake, *, rest_is_missing: bool = False):
    seen = closing_of(stocktake, "mm").seen
    return close_stocktake(who=owner, stocktake=stocktake, seen=seen, rest_is_missing=rest_is_missing)


def test_a_stocktake_writes_what_is_missing_measured_and_moved_as_one_entry(owner, rack):
    one, two, three, four = rack
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=one, counted=Found())
    count_piece(who=owner, stocktake=stocktake, piece=two, counted=Found(found=False))
    count_piece(who=owner, stocktake=stocktake, piece=three, counted=Found(length=LENGTH))
    count_piece(who=owner, stocktake=stocktake, piece=four, counted=Found(place="bench"))
    told = [d.words for d in differences(stocktake, "mm")]
    assert told == [
        "W2 was not found.",
        "W3 measures 27 × 150 × 1990 mm; the book has 27 × 150 × 2000 mm.",
        "W4 lies in “bench”; the book has it in “loft”.",
    ]
    closed = close(owner, stocktake)
    assert closed.entry.kind == "counted" and closed.entry.moves.count() == 3
    assert closed.entry.words.endswith(": 1 not found, 2 otherwise than the book had it.")
    assert now(one).edit_version == one.edit_version
    assert (now(two).state, now(two).worth) == ("missing", 0)
    assert now(three).length == LENGTH and now(three).worth == Decimal("10.00")
    assert now(four).place == "bench"
    lost = StockMove.objects.get(went_to="not found")
    assert (lost.piece, lost.came_from, lost.worth) == (two, "rack", Decimal("10.00"))
    assert rack_by_plain_sql() == Decimal("30.00") and balanced()


def test_a_stocktake_is_undone_by_another_entry_and_every_piece_is_as_it_was(owner, rack):
    heron = promises.want_wood(label="Heron", key="test:1")
    promises.reserve(who=owner, demand=heron, pieces=[rack[1]])
    fields = ("mark", "state", "worth", "length", "place", "demand_id")
    before = list(StockPiece.objects.order_by("pk").values_list(*fields))
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[1], counted=Found(found=False))
    count_piece(who=owner, stocktake=stocktake, piece=rack[2], counted=Found(length=LENGTH, place=""))
    assert "promised to Heron" in differences(stocktake, "mm")[0].words
    closed = close(owner, stocktake)
    assert now(rack[1]).demand is None and balanced()
    actions.undo_entry(who=owner, entry=closed.entry)
    assert list(StockPiece.objects.order_by("pk").values_list(*fields)) == before
    assert rack_by_plain_sql() == Decimal("40.00") and balanced()
    with pytest.raises(PlannerError, match="undone already"):
        actions.undo_entry(who=owner, entry=closed.entry)


def test_a_piece_written_as_not_found_is_found_again_with_the_worth_it_left_with(owner, rack):
    first = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=first, piece=rack[0], counted=Found(found=False))
    close(owner, first)
    second = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=second, piece=rack[0], counted=Found(length=LENGTH))
    (told,) = differences(second, "mm")
    assert (told.kind, told.worth) == ("again", Decimal("10.00")) and "W1 is found again." in told.words
    closed = close(owner, second)
    back = now(rack[0])
    assert (back.state, back.worth, back.length) == ("here", Decimal("10.00"), LENGTH) and balanced()
    # Undone once more it is missing, worth and all.
    actions.undo_entry(who=owner, entry=closed.entry)
    assert now(rack[0]).state == "missing" and rack_by_plain_sql() == Decimal("30.00") and balanced()


def test_what_was_built_on_a_stocktake_is_not_undone_under_it(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(place="bench"))
    closed = close(owner, stocktake)
    actions.move_piece(who=owner, piece=now(rack[0]), place="yard")
    with pytest.raises(PlannerError, match="changed since"):
        actions.undo_entry(who=owner, entry=closed.entry)
    assert now(rack[0]).place == "yard" and balanced()


def test_what_was_changed_since_it_was_counted_is_told_and_never_overwritten(owner, rack):
    stocktake = begin_stocktake(who=owner)
    for piece in rack[:2]:
        count_piece(who=owner, stocktake=stocktake, piece=piece, counted=Found(found=False))
    actions.move_piece(who=owner, piece=rack[0], place="bench")
    told = {d.piece.mark: d.kind for d in differences(stocktake, "mm")}
    assert told == {"W1": "changed", "W2": "missing"}
    close(owner, stocktake)
    assert (now(rack[0]).state, now(rack[0]).place, now(rack[1]).state) == ("here", "bench", "missing")
    assert AuditLine.objects.filter(what__startswith="W1 was left as the book has it").exists() and balanced()


def test_counted_again_after_a_change_it_is_written(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    actions.move_piece(who=owner, piece=rack[0], place="bench")
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    close(owner, stocktake)
    assert now(rack[0]).state == "missing" and balanced()


def test_a_piece_taken_after_it_was_counted_is_no_difference(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found())
    promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[rack[0]])
    assert differences(stocktake, "mm") == []


@pytest.mark.parametrize(
    ("gone", "said"),
    [
        ("taken", "the book has it as taken for Otter. Bring it back where it was taken for"),
        ("scrapped", "the book has it as scrapped. Undo that on its page"),
        ("split", "the book has it as split. Look whether it is one of its parts"),
        ("undone", "the book has it as never was. Its delivery was undone"),
    ],
)
def test_a_piece_that_is_there_though_the_book_has_it_gone_is_said_and_left(owner, rack, gone, said):
    piece = rack[0]
    if gone == "taken":
        promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[piece])
    elif gone == "scrapped":
        actions.scrap_piece(who=owner, piece=piece, reason="worm")
    elif gone == "split":
        actions.split_piece(who=owner, piece=piece, parts=[actions.Size(piece.thickness, piece.width, LENGTH)])
    else:
        actions.undo_entry(who=owner, entry=StockEntry.objects.get())
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=piece, counted=Found())
    (told,) = differences(stocktake, "mm")
    assert told.kind == "out" and said in told.words
    closed = close(owner, stocktake)
    assert closed.entry is None and now(piece).state == gone and balanced()


def test_what_was_not_counted_stays_unless_the_owner_says_it_is_not_found(owner, rack):
    def count_one():
        stocktake = begin_stocktake(who=owner)
        count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found())
        return stocktake

    assert close(owner, count_one()).entry is None
    closed = close(owner, count_one(), rest_is_missing=True)
    assert closed.entry.moves.count() == 3
    assert list(StockPiece.objects.filter(state="here")) == [rack[0]] and balanced()


def test_a_stocktake_of_one_place_looks_nowhere_else(owner, rack):
    (other,) = boards(owner, 1, wood="padauk", place="yard")
    stocktake = begin_stocktake(who=owner, place="loft")
    count_piece(who=owner, stocktake=stocktake, piece=other, counted=Found(place="loft"))
    assert (progress(stocktake).expected, progress(stocktake).counted, progress(stocktake).beside) == (4, 0, 1)
    close(owner, stocktake, rest_is_missing=True)
    assert now(other).place == "loft" and now(other).state == "here"
    assert StockPiece.objects.filter(state="missing").count() == 4 and balanced()


def test_two_count_at_once_and_the_newest_stands_if_its_maker_saw_the_other(owner, rack):
    joss = Member.objects.create_user("joss", password="x")
    stocktake = begin_stocktake(who=owner)
    first = count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(), seen_version=0)
    with pytest.raises(EditConflict) as clash:
        count_piece(who=joss, stocktake=stocktake, piece=rack[0], counted=Found(found=False), seen_version=0)
    assert clash.value.current.counted_by == owner
    newest = count_piece(
        who=joss, stocktake=stocktake, piece=rack[0], counted=Found(found=False), seen_version=first.edit_version
    )
    assert newest.pk == first.pk and not newest.found and newest.counted_by == joss
    # Counted alike by both, nobody is disturbed.
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False), seen_version=0)
    assert StocktakeCount.objects.count() == 1


def test_a_count_sent_twice_changes_nothing_the_second_time(owner, rack):
    stocktake, key = begin_stocktake(who=owner), "k" * 30
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(), spend=lambda: spend_key(key))
    with pytest.raises(AlreadySent):
        count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(), spend=lambda: spend_key(key))
    assert StocktakeCount.objects.get().edit_version == 1


def test_a_count_is_taken_back_while_the_stocktake_is_open(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    take_back_count(who=owner, stocktake=stocktake, piece=rack[0])
    assert closing_of(stocktake, "mm").found == [] and closing_of(stocktake, "mm").rest.count == 4


def test_nothing_else_is_written_than_what_was_read(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    read = closing_of(stocktake, "mm").seen
    count_piece(who=owner, stocktake=stocktake, piece=rack[1], counted=Found(found=False))
    with pytest.raises(SeenOtherwise):
        close_stocktake(who=owner, stocktake=stocktake, seen=read)
    read = closing_of(stocktake, "mm").seen
    count_piece(who=owner, stocktake=stocktake, piece=rack[2], counted=Found())
    with pytest.raises(SeenOtherwise):
        close_stocktake(who=owner, stocktake=stocktake, seen=read, rest_is_missing=True)
    # What was found as the book has it changes nothing that would be written.
    close_stocktake(who=owner, stocktake=stocktake, seen=read)
    assert StockPiece.objects.filter(state="missing").count() == 2 and balanced()


def test_a_closed_stocktake_takes_no_more_counts_and_is_never_deleted(owner, rack):
    stocktake = close_unwritten(who=owner, stocktake=begin_stocktake(who=owner))
    for act in (
        lambda: count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found()),
        lambda: close_unwritten(who=owner, stocktake=stocktake),
        lambda: close(owner, stocktake),
    ):
        with pytest.raises(PlannerError, match="closed"):
            act()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM lumber_stocktake")


def test_the_audit_reads_as_sentences(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    close(owner, stocktake)
    told = list(AuditLine.objects.order_by("pk").values_list("what", flat=True))[-4:]
    assert told[0] == "A stocktake of the whole rack was begun." and told[1] == "W1 was counted: not found."
    assert told[2] == "W1 was not found." and told[3].endswith(": 1 not found.")


def test_a_number_alone_finds_its_piece_and_a_split_one_its_parts(owner, rack):
    assert [piece.mark for piece in pieces_marked(" 3 ")] == ["W3"]
    assert [piece.mark for piece in pieces_marked("w3")] == ["W3"]
    size = actions.Size(rack[2].thickness, rack[2].width, Length.of_mm(900))
    actions.split_piece(who=owner, piece=rack[2], parts=[size, size])
    assert [piece.mark for piece in pieces_marked("3")] == ["W3a", "W3b"]
    assert [piece.mark for piece in pieces_marked("3b")] == ["W3b"] == [p.mark for p in pieces_marked("W3B")]
    for nothing in ("", "99", "W", "3'", "٣", "W3; DROP", "x" * 300):
        assert pieces_marked(nothing) == []


def test_worth_left_behind_by_a_piece_that_is_back_is_found(owner, rack):
    stocktake = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=stocktake, piece=rack[0], counted=Found(found=False))
    close(owner, stocktake)
    assert worth_of_what_was_not_found() == []
    StockPiece.objects.filter(pk=rack[0].pk).update(state="scrapped")
    assert "W1" in worth_of_what_was_not_found()[0]
