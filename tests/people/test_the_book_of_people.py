"""The book of people: found by any word, written down once, changed by two without a word lost."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.people.book import Happening
from shopapp.people.models import Member, Person, Way
from shopapp.people.words import folded, searched
from tests.support.people import book_part, somebody

BOOK = "people:people"


def names_found(client, asked: str) -> list[str]:
    answer = client.get(reverse(BOOK), {"find": asked})
    assert answer.status_code == 200
    return [person.name for person in answer.context["page"].object_list]


def typed(**changes: str) -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24), "name": "Wren Attwater", **changes}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Zoë  O’Hara", "ZOE o'hara"),
        ("Łódź", "lodz"),
        ("Straße", "STRASSE"),
        ("Åse Bjørk", "ase bjork"),
        ("Σοφία", "σοφια"),
        ("Ну́жен Ёж", "нужен еж"),
    ],
)
def test_letters_with_marks_and_capitals_read_as_plain_ones(one, other):
    assert folded(one) == folded(other)


def test_a_number_is_looked_for_without_its_gaps_and_a_house_number_as_it_is():
    assert searched("+353 (1) 555-0100") == ["35315550100"]
    assert searched("Mill 3") == ["mill", "3"]
    assert searched("3") == ["3"]


@pytest.mark.storage
@pytest.mark.django_db
@pytest.mark.parametrize(
    "asked", ["zoë", "ZOE", "o'hara zoe", "O’HARA", "0100", "1 555 01", "mühlgasse", "MUHLGASSE 3", "herons", "%", "_x"]
)
def test_somebody_is_found_by_any_word_in_any_letters_on_every_database(owner_client, asked):
    somebody("Zoë O’Hara", way="+353 1 555 0100", address="Mühlgasse 3", notes="Likes HERONS. 100 % sure. a_x")
    somebody("Tam Sedge", way="tam@quay.example")
    assert names_found(owner_client, asked) == ["Zoë O’Hara"]


def test_all_words_that_are_looked_for_have_to_be_there(owner_client):
    somebody("Wren Attwater", address="Mill Lane")
    somebody("Wren Sedge", address="Quay")
    assert names_found(owner_client, "wren quay") == ["Wren Sedge"]
    assert names_found(owner_client, "mill quay") == []
    assert names_found(owner_client, " ") == ["Wren Attwater", "Wren Sedge"]


def test_as_one_types_the_list_alone_comes_and_says_how_many(owner_client):
    somebody()
    body = owner_client.get(reverse(BOOK), {"find": "wren"}, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in body and "1 found." in body and "Wren Attwater" in body
    assert 'value="wren"' in owner_client.get(reverse(BOOK), {"find": "wren"}).content.decode()


def test_the_list_takes_as_many_queries_with_many_people_as_with_few_and_is_paged(
    owner_client, django_assert_num_queries
):
    somebody("Ash 0", way="a@b.example")
    owner_client.get(reverse(BOOK))
    with django_assert_num_queries(6):
        owner_client.get(reverse(BOOK))
    for number in range(1, 60):
        somebody(f"Ash {number}", way=f"a{number}@b.example")
    with django_assert_num_queries(6):
        first = owner_client.get(reverse(BOOK), {"find": "ash"})
    assert "1 of 2" in first.content.decode() and "?find=ash&amp;page=2" in first.content.decode()
    assert len(owner_client.get(reverse(BOOK), {"find": "ash", "page": "2"}).context["page"].object_list) == 10


def test_somebody_is_written_down_with_ways_that_open_mail_and_phone(owner_client):
    sent = typed(
        kind_1="mail", way_1="wren+boards@reedbank.example", kind_2="phone", way_2="+353 (1) 555-0100",
        address="Mill Lane 3\r\nReedbank", notes="Likes <herons>.",
    )  # fmt: skip
    answer = owner_client.post(reverse("people:new"), sent, follow=True)
    body = answer.content.decode()
    assert 'href="mailto:wren%2Bboards@reedbank.example"' in body and 'href="tel:+35315550100"' in body
    assert "Mill Lane 3<br>Reedbank" in body and "Likes &lt;herons&gt;." in body
    assert Person.objects.get().address == "Mill Lane 3\nReedbank"
    # Sent twice, written once.
    assert owner_client.post(reverse("people:new"), sent).url == reverse(BOOK)
    assert Person.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "way", "words"),
    [
        ("mail", "wren at reedbank", "This is no e-mail address."),
        ("phone", "wren@reedbank.example", "This looks like an e-mail address."),
        ("phone", "the blue door", "This is no number to call."),
        ("phone", "12", "This is no number to call."),
        ("carrier pigeon", "loft 2", "This is not among what is offered."),
    ],
)
def test_a_way_that_leads_nowhere_is_refused_in_words_and_what_was_typed_is_kept(owner_client, kind, way, words):
    answer = owner_client.post(reverse("people:new"), typed(kind_2=kind, way_2=way, notes="Kept."))
    body = answer.content.decode()
    assert answer.status_code == 422 and words in body and f'value="{way}"' in body and "Kept." in body
    assert not Person.objects.exists()


def test_who_may_be_there_already_is_told_before_a_second_row_is_made(owner_client):
    there = somebody("Wren Attwater", way="wren@reedbank.example")
    sent = typed(name="wren attwater")
    answer = owner_client.post(reverse("people:new"), sent)
    assert answer.status_code == 422 and "Wren Attwater is in the book already" in answer.content.decode()
    assert there.get_absolute_url() in answer.content.decode() and Person.objects.count() == 1
    assert owner_client.post(reverse("people:new"), {**sent, "another": "on"}).status_code == 302
    assert Person.objects.count() == 2


def test_a_way_is_emptied_and_goes_and_the_rest_moves_up(owner_client):
    person = somebody(way="wren@reedbank.example")
    address = reverse("people:change", args=[person.pk])
    more = {"edit_version": "1", "kind_2": "phone", "way_2": "555 0100", "kind_3": "other", "way_3": "by the mill"}
    owner_client.post(address, typed(**{**more, "kind_1": "mail", "way_1": "wren@reedbank.example"}))
    assert [str(way) for way in person.ways.all()] == ["wren@reedbank.example", "555 0100", "by the mill"]
    owner_client.post(address, typed(**{**more, "edit_version": "2", "kind_1": "mail", "way_1": ""}))
    assert list(person.ways.values_list("place", "kind", "words")) == [
        (1, Way.Kind.PHONE, "555 0100"),
        (2, Way.Kind.OTHER, "by the mill"),
    ]
    assert names_found(owner_client, "mill") == ["Wren Attwater"] and names_found(owner_client, "reedbank") == []


def test_of_two_who_change_a_person_at_once_the_second_sees_both_and_loses_nothing(owner_client):
    person = somebody(way="wren@reedbank.example", notes="Likes herons.")
    address = reverse("people:change", args=[person.pk])
    ways = {"kind_1": "mail", "way_1": "wren@reedbank.example"}
    many = {f"way_{at}": f"door {at}" for at in range(2, 6)} | {f"kind_{at}": "other" for at in range(2, 6)}
    owner_client.post(address, typed(**ways, **many, edit_version="1", notes="Likes otters."))
    second = typed(**ways, edit_version="1", notes="Likes teasels.", address="Mill Lane 3")
    answer = owner_client.post(address, second)
    body = answer.content.decode()
    assert answer.status_code == 409 and "Somebody else changed this person meanwhile" in body
    assert "Likes otters." in body and "Likes teasels." in body and "door 5" in body
    assert ("address", "Address", "", "Mill Lane 3") in answer.context["conflict_rows"]
    stands = answer.context["form"].data["edit_version"]
    owner_client.post(address, {**second, "edit_version": stands})
    person.refresh_from_db()
    assert (person.notes, person.address) == ("Likes teasels.", "Mill Lane 3")


def test_what_they_had_comes_from_every_app_newest_first_each_with_its_page(owner_client):
    person, now = somebody(), timezone.now()
    told = [Happening(now - timezone.timedelta(days=days), f"Board {days}", f"/boards/{days}/") for days in (3, 1)]
    with (
        book_part("boards", history=lambda one: told),
        book_part("gifts", history=lambda one: [Happening(now - timezone.timedelta(days=2), "A gift")]),
    ):
        answer = owner_client.get(person.get_absolute_url())
    assert [one.words for one in answer.context["history"]] == ["Board 1", "A gift", "Board 3"]
    assert '<a href="/boards/1/">Board 1</a>' in answer.content.decode()


def test_a_helper_sees_nobody_and_writes_nobody_down(client, owner):
    person = somebody()
    client.force_login(Member.objects.create_user("joss", password="x"))
    for name in ("people:people", "people:new", "people:choose", "people:members"):
        assert client.get(reverse(name)).status_code == 403
    for name in ("people:person", "people:change", "people:held", "people:held_file", "people:erase"):
        for ask in (client.get, client.post):
            assert ask(reverse(name, args=[person.pk])).status_code in (403, 405), name
    assert client.post(reverse("people:new"), typed()).status_code == 403
    assert Person.objects.get() == person
