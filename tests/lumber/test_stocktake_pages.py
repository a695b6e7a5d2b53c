"""A stocktake on its pages: with and without scripts, by owner and helper, and what is typed wrong."""

from __future__ import annotations

import secrets
from decimal import Decimal

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.counting.actions import Found, begin_stocktake, count_piece
from shopapp.lumber.models import StockPiece, Stocktake, StocktakeCount
from shopapp.lumber.stock import actions, promises
from shopapp.people.models import Member
from tests.support.rack import boards
from tests.support.shop import add_woods


@pytest.fixture
def rack(owner) -> list[StockPiece]:
    add_woods("walnut-black", "padauk")
    return boards(owner, 3, price=Decimal(10), per="piece", place="loft")


@pytest.fixture
def counting(owner, rack) -> Stocktake:
    return begin_stocktake(who=owner)


def send(client, name: str, *args, htmx: bool = False, **typed):
    headers = {"HTTP_HX_REQUEST": "true"} if htmx else {}
    return client.post(reverse(name, args=args), {"form_key": secrets.token_urlsafe(24), **typed}, **headers)


def said(answer) -> str:
    return " ".join(answer.content.decode().split())


def as_typed(client, stocktake, piece) -> dict[str, str]:
    form = client.get(reverse("lumber:stocktake_piece", args=[stocktake.pk, piece.mark])).context["form"]
    sides = {name: form[name].field.prepare_value(form[name].value()) for name in ("thickness", "width", "length")}
    seen = {"edit_version": form.fields["edit_version"].initial, "piece_seen": form["piece_seen"].value()}
    return {**sides, "place": form["place"].value(), **seen}


def test_a_stocktake_is_begun_of_a_wood_and_a_place(owner_client, rack):
    answer = send(owner_client, "lumber:stocktakes", wood="walnut-black", place="loft")
    begun = Stocktake.objects.get()
    assert (begun.wood, begun.place, answer.url) == ("walnut-black", "loft", begun.get_absolute_url())
    page = owner_client.get(answer.url)
    assert "Counting the Black walnut in “loft”" in said(page) and page.context["progress"].expected == 3


def test_without_scripts_a_mark_is_typed_and_the_page_comes_back(owner_client, counting, rack):
    answer = send(owner_client, "lumber:stocktake_count", counting.pk, mark="2")
    assert answer.status_code == 302
    assert "W2 is counted: 27 × 150 × 2000 mm." in said(owner_client.get(answer.url))
    refused = send(owner_client, "lumber:stocktake_count", counting.pk, mark="99")
    assert refused.status_code == 422 and "No piece has the mark “99”" in said(refused)
    assert 'value="99"' in said(refused)


def test_with_scripts_only_the_part_that_changed_comes_back(owner_client, counting, rack):
    typed = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, mark="2")
    assert "<html" not in said(typed) and 'hx-swap-oob="true"' in said(typed) and "1</strong> of 3" in said(typed)
    tapped = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, piece=rack[0].pk, line="1")
    assert said(tapped).startswith("<li>") and "2</strong> of 3" in said(tapped)
    refused = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, mark="99")
    assert refused.status_code == 200 and "No piece has the mark" in said(refused)


def test_a_split_piece_asks_which_of_its_parts_was_found(owner, owner_client, counting, rack):
    half = actions.Size(rack[0].thickness, rack[0].width, Length.of_mm(900))
    actions.split_piece(who=owner, piece=rack[0], parts=[half, half])
    answer = send(owner_client, "lumber:stocktake_count", counting.pk, mark="1")
    assert [piece.mark for piece in answer.context["told"].choose] == ["W1a", "W1b"]
    assert not StocktakeCount.objects.exists()


def test_a_piece_that_is_out_is_noted_and_what_can_be_done_is_said(owner, owner_client, counting, rack):
    promises.take(who=owner, demand=promises.want_wood(label="Otter", key="test:2"), pieces=[rack[0]])
    answer = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, mark="W1")
    assert "W1 is noted, but the book has it as taken for Otter. Bring it back" in said(answer)
    page = said(owner_client.get(reverse("lumber:stocktake_piece", args=[counting.pk, "W1"])))
    assert "It should not be here: the book has it as taken for Otter." in page and "Length" not in page
    count = StocktakeCount.objects.get()
    seen = {"edit_version": count.edit_version, "piece_seen": StockPiece.objects.get(mark="W1").edit_version}
    send(owner_client, "lumber:stocktake_piece", counting.pk, "W1", found="yes", **seen)
    assert StocktakeCount.objects.values_list("found", "moved").get() == (True, False)
    assert "W1 was found, and the book has it as taken for Otter." in said(
        owner_client.get(reverse("lumber:stocktake_close", args=[counting.pk]))
    )


def test_in_a_stocktake_of_a_place_what_lay_elsewhere_lies_there_now(owner, owner_client, rack):
    (red,) = boards(owner, 1, wood="padauk", place="yard")
    stocktake = begin_stocktake(who=owner, place="loft")
    answer = send(owner_client, "lumber:stocktake_count", stocktake.pk, htmx=True, mark="P4")
    assert "The book has it in “yard”; it will be written as lying here." in said(answer)
    count = StocktakeCount.objects.get(piece=red)
    assert (count.moved, count.place) == (True, "loft")


def test_what_is_left_as_it_stands_is_as_in_the_book(owner_client, counting, rack):
    typed = as_typed(owner_client, counting, rack[0])
    send(owner_client, "lumber:stocktake_piece", counting.pk, "W1", found="yes", **typed)
    count = StocktakeCount.objects.get()
    assert count.found and (count.thickness, count.length, count.moved) == (None, None, False)
    typed = as_typed(owner_client, counting, rack[1]) | {"length": "1850", "place": ""}
    send(owner_client, "lumber:stocktake_piece", counting.pk, "W2", found="yes", **typed)
    count = StocktakeCount.objects.get(piece=rack[1])
    assert (count.length, count.width, count.moved, count.place) == (Length.of_mm(1850), None, True, "")


def test_what_another_counted_meanwhile_is_told_and_sent_once_more_it_is_replaced(owner, owner_client, counting, rack):
    joss = Member.objects.create_user("joss", password="x")
    typed = as_typed(owner_client, counting, rack[0])
    count_piece(who=joss, stocktake=counting, piece=rack[0], counted=Found(found=False))
    answer = send(owner_client, "lumber:stocktake_piece", counting.pk, "W1", found="yes", **typed)
    assert answer.status_code == 409 and "joss counted W1 meanwhile: not found." in said(answer)
    again = typed | {"edit_version": answer.context["form"].data["edit_version"]}
    assert send(owner_client, "lumber:stocktake_piece", counting.pk, "W1", found="yes", **again).status_code == 302
    assert StocktakeCount.objects.get().found
    # Tapped on the list, what stands otherwise is not wiped out.
    count_piece(who=joss, stocktake=counting, piece=rack[1], counted=Found(length=Length.of_mm(1850)))
    tapped = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, mark="2")
    assert "W2 was counted before by joss: measures 27 × 150 × 1850 mm." in said(tapped)
    assert StocktakeCount.objects.get(piece=rack[1]).length == Length.of_mm(1850)


def test_a_piece_changed_while_its_count_was_typed_is_told(owner, owner_client, counting, rack):
    typed = as_typed(owner_client, counting, rack[0])
    actions.measure_piece(
        who=owner, piece=rack[0], size=actions.Size(rack[0].thickness, rack[0].width, Length.of_mm(1850))
    )
    answer = send(owner_client, "lumber:stocktake_piece", counting.pk, "W1", found="yes", **typed)
    assert answer.status_code == 409 and "W1 was changed meanwhile." in said(answer)
    assert not StocktakeCount.objects.exists()


def test_a_mistyped_count_is_taken_back(owner_client, counting, rack):
    send(owner_client, "lumber:stocktake_count", counting.pk, mark="1")
    send(owner_client, "lumber:stocktake_uncount", counting.pk, "W1")
    assert not StocktakeCount.objects.exists()


def test_the_page_that_closes_is_read_anew_when_somebody_counted_meanwhile(owner, owner_client, counting, rack):
    address = reverse("lumber:stocktake_close", args=[counting.pk])
    count_piece(who=owner, stocktake=counting, piece=rack[0], counted=Found(found=False))
    seen = owner_client.get(address).context["seen"]
    count_piece(who=owner, stocktake=counting, piece=rack[1], counted=Found(found=False))
    answer = send(owner_client, "lumber:stocktake_close", counting.pk, seen=seen, rest="stays", do="write")
    assert answer.status_code == 409 and "since this page was opened" in said(answer)
    assert not StockPiece.objects.filter(state="missing").exists()
    key, again = secrets.token_urlsafe(24), answer.context["seen"]
    for _ in range(2):
        send(owner_client, "lumber:stocktake_close", counting.pk, seen=again, rest="stays", do="write", form_key=key)
    assert StockPiece.objects.filter(state="missing").count() == 2
    body = said(owner_client.get(counting.get_absolute_url()))
    assert "W1 was not found." in body and "Undo this stocktake" in body


def test_a_helper_counts_and_the_owner_closes(helper_client, counting, rack):
    send(helper_client, "lumber:stocktake_count", counting.pk, mark="1")
    assert StocktakeCount.objects.get().counted_by.username == "joss"
    for name in ("lumber:stocktake_close", "lumber:stocktake_undo"):
        assert send(helper_client, name, counting.pk, rest="stays", do="write").status_code == 403
    for address in (reverse("lumber:stocktakes"), counting.get_absolute_url()):
        body = said(helper_client.get(address))
        assert "€" not in body and "Compare with the book" not in body


def test_a_closed_stocktake_counts_nothing_more_and_says_so(owner_client, counting, rack):
    send(owner_client, "lumber:stocktake_close", counting.pk, do="nothing")
    answer = send(owner_client, "lumber:stocktake_count", counting.pk, htmx=True, mark="1")
    assert answer.headers["HX-Redirect"] == counting.get_absolute_url() and not StocktakeCount.objects.exists()
    assert "Nothing was written into the book." in said(owner_client.get(counting.get_absolute_url()))


def test_the_story_of_a_piece_says_what_the_stocktake_found_of_it(owner, owner_client, counting, rack):
    count_piece(who=owner, stocktake=counting, piece=rack[0], counted=Found(found=False))
    count_piece(who=owner, stocktake=counting, piece=rack[1], counted=Found(length=Length.of_mm(1850)))
    seen = owner_client.get(reverse("lumber:stocktake_close", args=[counting.pk])).context["seen"]
    send(owner_client, "lumber:stocktake_close", counting.pk, seen=seen, rest="stays", do="write")
    gone = said(owner_client.get(rack[0].get_absolute_url()))
    assert "Stocktake: W1 was not found." in gone and "Count it in a stocktake" in gone
    measured = said(owner_client.get(rack[1].get_absolute_url()))
    assert "Stocktake: W2 measures 1850 mm long; the book had 2000 mm long." in measured
