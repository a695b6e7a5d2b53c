"""A form asks for a person: a name is typed, and nobody is guessed at."""

from __future__ import annotations

import pytest
from django.http import QueryDict
from django.urls import reverse

from shopapp.common.forms import ShopForm
from shopapp.common.models import AuditLine
from shopapp.people.choosing import PersonField, person_of, who_may_be_meant
from shopapp.people.models import Person
from tests.support.people import somebody


class AskingForm(ShopForm):
    person = PersonField(label="For whom", required=False)


def asked(**sent: object) -> AskingForm:
    data = QueryDict(mutable=True)
    data.update({name: str(value) for name, value in sent.items()})
    form = AskingForm(data)
    form.is_valid()
    return form


def chosen(**sent: object):
    form = asked(**sent)
    assert not form.errors, form.errors
    return form.cleaned_data["person"]


def refusal(**sent: object) -> str:
    return " ".join(asked(**sent).errors["person"])


@pytest.mark.django_db
def test_an_empty_field_is_nobody_unless_somebody_is_asked_for():
    assert chosen(person="  ") is None
    form = asked(person="")
    form.fields["person"].required = True
    form.full_clean()
    assert form.errors["person"] == ["Nobody is named yet. Write a name."]


@pytest.mark.django_db
def test_a_name_nobody_has_is_somebody_new():
    assert chosen(person="  Aunt   Sedge ") == "Aunt Sedge"


def test_a_name_one_person_has_means_them_however_it_is_written(owner):
    wren = somebody("Wren Attwäter")
    somebody("Tam Sedge")
    assert chosen(person="wren attwater") == wren


def test_who_was_chosen_of_the_list_is_taken_though_only_a_part_was_typed(owner):
    wren, other = somebody("Wren Attwater"), somebody("Wren Attwater", way="wren@reedbank.example")
    assert chosen(person="wren", person_is=wren.pk) == wren
    assert chosen(person="reedbank", person_is=other.pk) == other


def test_a_part_of_a_name_is_not_taken_for_the_whole_nor_written_down_as_somebody_else(owner):
    somebody("Wren Attwater")
    assert refusal(person="Wren") == (
        "Wren Attwater is in the book already. Choose them below, or say that it is somebody new."
    )
    assert "already" in refusal(person="Wren Attwater of the Mill")
    assert chosen(person="Wren", person_is="new") == "Wren"
    page = str(asked(person="Wren")["person"])
    assert "Somebody new: Wren" in page and "Wren Attwater" in page and " checked" not in page


def test_of_two_with_one_name_one_has_to_be_chosen(owner):
    for way in ("mill@example.org", "quay@example.org"):
        somebody("Wren Attwater", way=way)
    assert refusal(person="Wren Attwater").startswith("There are 2 of that name.")
    page = str(asked(person="Wren Attwater")["person"])
    assert "mill@example.org" in page and "quay@example.org" in page


def test_a_name_that_was_typed_over_is_not_the_one_that_was_chosen(owner):
    wren = somebody("Wren Attwater")
    assert refusal(person="Tam Sedge", person_is=wren.pk) == (
        "It says “Tam Sedge”, but Wren Attwater is chosen below. Choose who is meant."
    )


@pytest.mark.parametrize("key", ["999999", "x", "-1", "1" * 40, "１"])
def test_a_key_that_is_nobody_s_is_refused_in_words(owner, key):
    assert refusal(person="Wren", person_is=key).startswith("Who was chosen is not in the book any more.")


@pytest.mark.django_db
@pytest.mark.parametrize(("name", "words"), [("x" * 81, "too long"), ("a\x00b", "no text can hold")])
def test_what_no_name_can_be_is_refused_in_words(name, words):
    assert words in refusal(person=name)


def test_what_was_sent_stands_in_the_field_again_with_what_was_chosen(owner):
    wren = somebody("Wren Attwater")
    page = str(asked(person="wren", person_is=wren.pk)["person"])
    assert 'value="wren"' in page and f'value="{wren.pk}" checked' in page
    page = str(AskingForm(initial={"person": wren})["person"])
    assert 'value="Wren Attwater"' in page and f'value="{wren.pk}" checked' in page


def test_two_edits_at_once_are_told_by_name(owner):
    wren, sedge = somebody("Wren Attwater"), somebody("Tam Sedge")
    rows = asked(person=wren.name, person_is=wren.pk).against(AskingForm(initial={"person": sedge}))
    assert rows == [("person", "For whom", "Tam Sedge", "Wren Attwater")]


def test_a_new_name_becomes_a_row_and_the_audit_keeps_no_name(owner):
    made = person_of(owner, "Aunt Sedge")
    assert Person.objects.get() == made and made.name == "Aunt Sedge"
    assert AuditLine.objects.get().what == f"Person {made.pk} was written into the book."
    assert person_of(owner, made) == made and person_of(owner, None) is None
    assert Person.objects.count() == 1


def test_the_list_comes_as_one_types(owner_client):
    wren = somebody("Wren Attwater", way="+353 1 555 0100", address="Mill Lane 3\nReedbank")
    for typed in ("attw", "55501", "mill reed"):
        body = owner_client.get(reverse("people:choose"), {"as": "buyer", "buyer": typed}).content.decode()
        assert f'name="buyer_is" value="{wren.pk}"' in body and "Mill Lane 3" in body, typed
        assert "<html" not in body
    body = owner_client.get(reverse("people:choose"), {"as": '"><b', "person": "Tam"}).content.decode()
    assert "Nobody of that name" in body and 'name="person_is" value="new" checked' in body and "<b" not in body
    assert owner_client.get(reverse("people:choose")).content.decode().strip().startswith("<div id")


def test_the_list_takes_as_many_queries_with_many_people_as_with_few(owner, django_assert_max_num_queries):
    somebody("Wren Attwater")
    for number in range(30):
        somebody(f"Wren Sedge {number}", way=f"wren{number}@example.org")
    with django_assert_max_num_queries(4):
        assert len(who_may_be_meant("wren").rows) == 6
