"""What can be done with a piece is done on its page, told in its story, and undone there."""

from __future__ import annotations

import secrets
from decimal import Decimal

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock import actions, promises
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.people.models import Member
from tests.support.rack import boards
from tests.support.shop import add_woods


@pytest.fixture
def board(owner) -> StockPiece:
    add_woods("walnut-black")
    return boards(owner, 1, price=Decimal("30.00"), per="piece")[0]


def do(client, piece: StockPiece, act: str, *, version: int | None = None, **typed):
    keys = {"form_key": secrets.token_urlsafe(24), "edit_version": version or piece.edit_version}
    return client.post(reverse("lumber:piece_act", args=[piece.mark, act]), {**keys, **typed})


def undo(client, piece: StockPiece, entry: StockEntry):
    typed = {"form_key": secrets.token_urlsafe(24), "entry": entry.pk}
    return client.post(reverse("lumber:piece_undo", args=[piece.mark]), typed, follow=True)


def now(piece: StockPiece) -> StockPiece:
    return StockPiece.objects.get(pk=piece.pk)


def balanced() -> bool:
    return pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_a_board_is_split_by_measured_parts_which_lie_where_it_lay(owner_client, board):
    answer = do(owner_client, board, "split", length_1="1200", length_2="600", width_2="100", thickness_2="")
    assert answer.status_code == 302
    long, short = StockPiece.objects.filter(parent=board).order_by("pk")
    assert (long.mark, long.width, short.mark, short.width) == ("W1a", board.width, "W1b", Length.of_mm(100))
    assert short.thickness == board.thickness and balanced()
    page = owner_client.get(board.get_absolute_url()).content.decode()
    assert "Not on the rack: split" in page and "/woods/rack/W1b/" in page


def test_a_piece_is_measured_surfaced_moved_set_aside_and_brought_back(owner_client, board):
    do(owner_client, board, "measure", thickness="26", width="149", length="1990")
    do(owner_client, now(board), "surface", thickness="21")
    do(owner_client, now(board), "move", place="loft")
    do(owner_client, now(board), "aside", reason="still wet")
    piece = now(board)
    assert (piece.thickness, piece.width, piece.length) == (Length.of_mm(21), Length.of_mm(149), Length.of_mm(1990))
    assert (piece.surfaced, piece.place, piece.set_aside) == (True, "loft", "still wet")
    assert do(owner_client, piece, "back").status_code == 302
    assert now(board).set_aside == "" and balanced()
    body = owner_client.get(board.get_absolute_url()).content.decode()
    for told in ("W1 was measured again", "W1 was surfaced to 21 mm", "W1 was moved to loft", "set aside: still wet"):
        assert told in body


def test_a_piece_is_scrapped_with_a_reason_and_comes_back_by_undo(owner_client, board):
    assert do(owner_client, board, "scrap", reason=" ").status_code == 422
    do(owner_client, board, "scrap", reason="worm")
    assert now(board).state == "scrapped"
    answer = undo(owner_client, board, StockEntry.objects.first())
    assert "Undone: W1 was scrapped: worm." in answer.content.decode()
    assert now(board).worth == Decimal("30.00") and balanced()


def test_only_the_newest_entry_that_stands_offers_its_undo(owner_client, board):
    def offered() -> StockEntry | None:
        return owner_client.get(board.get_absolute_url()).context["undo"]

    assert offered() is None  # a delivery is undone on its own page
    do(owner_client, board, "move", place="loft")
    do(owner_client, now(board), "move", place="bench")
    newest = offered()
    assert newest.words == "W1 was moved to bench."
    undo(owner_client, board, newest)
    assert offered().words == "W1 was moved to loft." and now(board).place == "loft"


def test_what_was_built_on_is_not_undone_and_the_page_says_why(owner, owner_client, board):
    do(owner_client, board, "split", length_1="1200")
    split = StockEntry.objects.first()
    part = StockPiece.objects.get(parent=board)
    do(owner_client, part, "move", place="loft")
    answer = undo(owner_client, board, split)
    assert "W1a was changed since" in answer.content.decode() and now(board).state == "split"


def test_a_piece_changed_meanwhile_is_told_and_what_was_typed_is_kept(owner, owner_client, board):
    seen = board.edit_version
    actions.move_piece(who=owner, piece=now(board), place="bench")
    answer = do(owner_client, board, "move", version=seen, place="loft")
    assert answer.status_code == 409 and now(board).place == "bench"
    body = answer.content.decode()
    assert "changed meanwhile" in body and 'value="loft"' in body
    again = next(form for form in answer.context["forms"] if form.act == "move").data["edit_version"]
    assert do(owner_client, board, "move", version=int(again), place="loft").status_code == 302
    assert now(board).place == "loft"


def test_a_piece_taken_meanwhile_is_told(owner, owner_client, board):
    promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[now(board)])
    answer = do(owner_client, board, "split", length_1="700")
    body = answer.content.decode()
    assert answer.status_code == 409 and "W1 is not on the rack: taken" in body and 'value="700"' in body
    page = owner_client.get(board.get_absolute_url())
    assert page.context["forms"] == [] and "taken for Otter" in page.content.decode()


def test_a_form_sent_twice_moves_a_piece_once(owner_client, board):
    typed = {"form_key": "k" * 30, "edit_version": board.edit_version, "place": "loft"}
    for _ in range(2):
        assert owner_client.post(reverse("lumber:piece_act", args=["W1", "move"]), typed).status_code == 302
    assert StockEntry.objects.count() == 2


@pytest.mark.parametrize(
    ("act", "typed", "field"),
    [
        ("split", {}, "length_1"),
        ("split", {"length_1": "0"}, "length_1"),
        ("split", {"length_1": "700", "width_2": "90"}, "length_2"),
        ("split", {"length_1": "3000"}, "__all__"),
        ("split", {"length_1": "1200", "length_2": "1200"}, "__all__"),
        ("measure", {"thickness": "27", "width": "1,234", "length": "2000"}, "width"),
        ("surface", {"thickness": "40"}, "thickness"),
        ("surface", {"thickness": "NaN"}, "thickness"),
        ("aside", {"reason": ""}, "reason"),
        ("move", {"place": "x" * 61}, "place"),
    ],
)
def test_what_cannot_be_done_with_a_piece_is_said_and_changes_nothing(owner_client, board, act, typed, field):
    answer = do(owner_client, board, act, **typed)
    assert answer.status_code == 422 and answer.context["sent"].errors[field]
    assert "error-summary" in answer.content.decode()
    assert now(board).edit_version == board.edit_version and StockEntry.objects.count() == 1


def test_a_helper_may_move_split_and_undo_and_never_undoes_a_delivery(client, board):
    client.force_login(Member.objects.create_user("joss", password="x"))
    assert do(client, board, "move", place="loft").status_code == 302
    undo(client, board, StockEntry.objects.first())
    assert now(board).place == ""
    assert undo(client, board, StockEntry.objects.last()).status_code == 403
    assert do(client, now(board), "split", length_1="700").status_code == 302 and balanced()
    for name in ("lumber:buy", "lumber:deliveries", "lumber:suppliers"):
        assert client.get(reverse(name)).status_code == 403


def test_a_promised_piece_says_to_whom(owner, owner_client, board):
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="test:1"), pieces=[board])
    page = owner_client.get(board.get_absolute_url())
    assert "Promised to Heron." in page.content.decode() and page.context["undo"] is None
