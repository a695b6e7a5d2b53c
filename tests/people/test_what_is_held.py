"""Everything held of a person goes out as one file that explains itself, and as text to read."""

from __future__ import annotations

import json

import pytest
from django.urls import reverse

from shopapp.people import book
from shopapp.people.known.out import file_of, lines_of
from tests.support.people import book_part, somebody

BOARDS = {
    "quotes": [{"number": "2026-004", "price": "240.00", "accepted": True}, {"number": "2026-007", "price": None}],
    "words": "As we spoke.",
}


def held(client, person):
    answer = client.get(reverse("people:held_file", args=[person.pk]))
    assert answer.headers["Content-Disposition"] == f'attachment; filename="person-{person.pk}.json"'
    return answer, json.loads(answer.content)


def test_the_file_holds_every_app_s_part_under_keys_it_explains(owner_client):
    person = somebody("Zoë O’Hara", way="+353 1 555 0100", address="Mill Lane 3\nReedbank", notes="Likes herons.")
    with book_part("boards", out=lambda one: BOARDS, explains={"quotes": "Offers made.", "words": "What was said."}):
        answer, whole = held(owner_client, person)
    assert (whole["form"], whole["version"]) == ("Kerfstead person", 1)
    assert whole["held"]["boards"] == BOARDS
    assert whole["held"]["people"] == {
        "name": "Zoë O’Hara",
        "ways": [{"kind": "phone", "words": "+353 1 555 0100"}],
        "address": "Mill Lane 3\nReedbank",
        "notes": "Likes herons.",
        "written_on": person.created_at.date().isoformat(),
    }
    for app, keys in whole["held"].items():
        assert set(keys) <= set(whole["about"][app]), app
    assert answer.headers["Cache-Control"] == "no-store" and "Zoë" in answer.content.decode()


def test_the_file_is_the_same_byte_for_byte_until_something_is_written(owner_client):
    person = somebody()
    first, second = (held(owner_client, person)[0].content for _ in range(2))
    assert first == second


def test_an_app_that_holds_nothing_is_left_out(owner_client):
    with book_part("boards"):
        assert set(held(owner_client, somebody())[1]["held"]) == {"people"}


def test_the_page_has_every_key_and_every_value_of_the_file_to_read(owner_client):
    person = somebody(way="wren@reedbank.example", notes="<b>herons</b>")
    with book_part("boards", out=lambda one: BOARDS, explains={"quotes": "Offers made."}):
        body = owner_client.get(reverse("people:held", args=[person.pk])).content.decode()
    for words in (
        "2026-004",
        "240.00",
        "yes",
        "As we spoke.",
        "Offers made.",
        "&lt;b&gt;herons",
        "wren@reedbank.example",
    ):
        assert words in body, words


def test_lines_to_read_are_as_many_as_there_are_keys_and_values():
    lines = lines_of({"boards": BOARDS})["boards"]
    assert [(line.depth, line.label, line.value) for line in lines] == [
        (0, "quotes", ""),
        (1, "1", ""), (2, "accepted", "yes"), (2, "number", "2026-004"), (2, "price", "240.00"),
        (1, "2", ""), (2, "number", "2026-007"), (2, "price", "–"),
        (0, "words", "As we spoke."),
    ]  # fmt: skip


def test_what_json_cannot_say_is_never_given_out():
    with pytest.raises(ValueError, match="JSON"):
        file_of({"boards": {"share": float("nan")}})


@pytest.mark.django_db
def test_every_app_of_the_shop_explains_what_it_gives_out():
    """Parts that are there: each explains its keys, however few."""
    assert "people" in book.apps()
    for app, keys in book.explained().items():
        assert keys and all(words.endswith(".") for words in keys.values()), app
