"""Whoever asks to be forgotten is: names, words and files are destroyed, and a dated tombstone with a hash is left."""

from __future__ import annotations

import hashlib
import json
import secrets

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from shopapp.common.actions import write_audit
from shopapp.common.documents import store_document
from shopapp.common.erasing import struck, take_away
from shopapp.common.files import faults_of_stored_files, file_path
from shopapp.common.models import AuditLine
from shopapp.people.actions import first_owner
from shopapp.people.known.erasing import NotConfirmed, erase_person, erased_wrongly, still_standing
from shopapp.people.models import Erasure, Person, Way
from tests.support.people import book_part, somebody
from tests.support.shop import add_woods, design_with_pattern

HELD = {"reach": "wren@reedbank.example", "lives": "Mill Lane 3", "words": "Likes herons."}


def wren() -> Person:
    return somebody("Wren Attwater", way=HELD["reach"], address=HELD["lives"], notes=HELD["words"])


def erase(client, person, typed="Wren Attwater"):
    sent = {"form_key": secrets.token_urlsafe(24), "typed": typed}
    return client.post(reverse("people:erase", args=[person.pk]), sent), sent


def test_the_row_stays_without_a_word_and_no_page_finds_it(owner_client, owner):
    person = wren()
    answer, _ = erase(owner_client, person, "wren  ATTWATER")
    assert answer.url == person.get_absolute_url()
    person.refresh_from_db()
    today = timezone.localdate()
    assert (person.name, person.address, person.notes, person.folded) == ("", "", "", "")
    assert not Way.objects.exists()
    assert str(person) == f"Somebody erased on {today.day} {today:%B %Y}"
    body = owner_client.get(person.get_absolute_url()).content.decode()
    assert str(person) in body and Erasure.objects.get().sha256 in body and "by mara" in body
    for page in (reverse("people:people"), reverse("people:people") + "?find=wren"):
        assert "Attwater" not in owner_client.get(page).content.decode()
    assert owner_client.get(reverse("people:change", args=[person.pk])).url == person.get_absolute_url()
    assert still_standing("Wren Attwater") == {} and not any(map(still_standing, HELD.values()))


def test_the_hash_that_is_left_is_that_of_the_file_that_was_given_out(owner_client):
    person = wren()
    file = owner_client.get(reverse("people:held_file", args=[person.pk])).content
    erase(owner_client, person)
    person.refresh_from_db()
    # FIPS 180-4, as the standard library has it; nothing of the app is asked.
    assert person.erased_sha256 == Erasure.objects.get().sha256 == hashlib.sha256(file).hexdigest()
    assert json.loads(file)["held"]["people"]["name"] == "Wren Attwater"


@pytest.mark.parametrize("typed", ["", "Wren", "Tam Sedge", "erase"])
def test_nothing_is_erased_before_the_name_is_typed(owner_client, typed):
    person = wren()
    answer, _ = erase(owner_client, person, typed)
    assert answer.status_code == 422 and not Erasure.objects.exists()
    person.refresh_from_db()
    assert person.erased_at is None and person.name == "Wren Attwater"


def test_it_is_done_once_though_it_is_sent_twice(owner_client):
    person = wren()
    _, sent = erase(owner_client, person)
    assert owner_client.post(reverse("people:erase", args=[person.pk]), sent).status_code in (302, 422)
    assert Erasure.objects.count() == 1 and AuditLine.objects.filter(what__contains="was erased").count() == 1


def test_looking_at_the_page_and_taking_the_file_changes_nothing(owner_client):
    person = wren()
    before = AuditLine.objects.count()
    for name in ("people:erase", "people:held", "people:held_file"):
        assert owner_client.get(reverse(name, args=[person.pk])).status_code == 200
    person.refresh_from_db()
    assert (person.edit_version, AuditLine.objects.count()) == (1, before)


def test_every_app_forgets_or_none_does(owner):
    """One transaction: where the last app cannot, the first one's names are there again."""
    person = wren()

    def cannot(one, instead):
        raise RuntimeError("power cut")

    # The book itself is forgotten last, so what fails here has another app's work before it.
    def forget(one, instead):
        Person.objects.filter(pk=one.pk).update(notes="destroyed")
        return ["The notes."]

    with book_part("boards", forget=forget), book_part("gifts", forget=cannot), pytest.raises(RuntimeError):
        erase_person(who=owner, person=person, typed=person.name)
    person.refresh_from_db()
    assert person.notes == HELD["words"] and not Erasure.objects.exists()


def test_the_page_says_what_goes_what_stays_why_and_that_backups_hold_it_still(owner_client):
    person = wren()
    why = "Invoice 2026-004 stays with its name until 31 December 2036."
    with book_part("boards", goes=lambda one: ["The paper of quote 4."], keeps=lambda one: why):
        body = owner_client.get(reverse("people:erase", args=[person.pk])).content.decode()
    for words in ("The paper of quote 4.", why, "Backups made before still hold everything", "add up"):
        assert words in body, words


def test_what_had_to_stay_goes_when_it_may(owner_client, owner):
    person, kept = wren(), ["Wren Attwater, Mill Lane 3"]
    why = ["Invoice 4 must stay until 2036."]

    def forget(one, instead):
        if why:
            return []
        kept.clear()
        return ["The name on invoice 4."]

    part = {"out": lambda one: {"invoice": list(kept)}, "forget": forget, "keeps": lambda one: "".join(why)}
    with book_part("money", **part):
        erase(owner_client, person)
        body = owner_client.get(person.get_absolute_url()).content.decode()
        assert why[0] in body and "Erase what may go now" in body and kept
        why.clear()
        with pytest.raises(NotConfirmed):
            erase_person(who=owner, person=person, typed="Wren Attwater")
        erase(owner_client, person, "erase")
        assert not kept
        body = owner_client.get(person.get_absolute_url()).content.decode()
        assert "The name on invoice 4." in body and "Erase what may go now" not in body
    first, second = Erasure.objects.all()
    person.refresh_from_db()
    assert person.erased_sha256 == first.sha256 != second.sha256 and erased_wrongly() == []


def test_the_audit_tells_that_it_was_done_and_has_the_name_no_more(owner):
    person = wren()
    write_audit(owner, "Quote 4 was made for Wren Attwater.", person)
    write_audit(owner, "Heron: the picture is Wren Attwater’s.", owner)
    other = write_audit(owner, "Wren is a bird.", owner)
    erase_person(who=owner, person=person, typed=person.name)
    told = list(AuditLine.objects.values_list("what", flat=True))
    assert not [what for what in told if "Attwater" in what] and other.what in told
    instead = str(Person.objects.get())
    assert f"Quote 4 was made for {instead}." in told and f"Heron: the picture is {instead}’s." in told
    assert f"Person {person.pk} was erased." in told


def test_where_the_name_still_stands_in_words_of_ones_own_is_said(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design_with_pattern(owner, name="Heron for Wren Attwater")
    erasure = erase_person(who=owner, person=wren(), typed="Wren Attwater")
    assert "stand in 1 row of the shop’s designs" in erasure.kept and "Wren" not in erasure.kept


@pytest.mark.parametrize("name", ["Wren Attwater", "Zoë O’Hara"])
def test_a_name_is_looked_for_in_json_too_however_it_is_written_there(owner, name):
    design = design_with_pattern(owner, name="Heron")
    assert still_standing(name) == {}
    type(design).objects.filter(pk=design.pk).update(reading={"note": [f"for {name}"]})
    write_audit(owner, json.dumps({"for": name}), owner)
    assert still_standing(name) == {"audit lines": 1, "designs": 1}


def test_a_name_that_is_a_word_of_the_trade_or_somebody_else_s_is_left_where_others_are_meant(owner):
    write_audit(owner, "Ash was added.", owner)
    erase_person(who=owner, person=somebody("Ash"), typed="Ash")
    write_audit(owner, "Tam Sedge came by.", owner)
    somebody("Tam Sedge", way="other@sedge.example")
    one = somebody("Tam Sedge", way="tam@sedge.example")
    erase_person(who=owner, person=one, typed="Tam Sedge")
    told = set(AuditLine.objects.values_list("what", flat=True))
    assert {"Ash was added.", "Tam Sedge came by."} <= told


def test_a_person_s_files_go_once_it_is_sure_and_verify_misses_none(owner, django_capture_on_commit_callbacks):
    person, paper = wren(), store_document(b"%PDF for Wren Attwater", title="For Wren Attwater")

    def forget(one, instead):
        return [f"{take_away([paper])} paper."]

    with book_part("boards", forget=forget), django_capture_on_commit_callbacks(execute=True):
        erase_person(who=owner, person=person, typed=person.name)
    assert not file_path(paper.name).exists() and faults_of_stored_files() == []
    assert still_standing("Wren Attwater") == {}


def test_verify_finds_a_row_that_was_erased_by_half(owner, capsys):
    person = wren()
    erase_person(who=owner, person=person, typed=person.name)
    assert erased_wrongly() == []
    rows = Person.objects.filter(pk=person.pk)
    for half in ({"notes": "Likes herons."}, {"folded": "wren"}, {"erased_sha256": ""}):
        with transaction.atomic():
            rows.update(**half)
            assert len(erased_wrongly()) == 1, half
            transaction.set_rollback(True)
    Way.objects.create(person=person, place=1, kind="mail", words="wren@reedbank.example")
    assert erased_wrongly() == [f"Person {person.pk} was erased, and something is still written of them."]


def test_verify_finds_somebody_whom_no_search_would(owner):
    person = wren()
    Person.objects.filter(pk=person.pk).update(folded="tam sedge")
    assert erased_wrongly() == [f"Person {person.pk} is not found by what is written of them."]


@pytest.mark.storage
def test_a_tombstone_can_neither_be_changed_nor_taken_away(owner):
    person = wren()
    erasure = erase_person(who=owner, person=person, typed=person.name)
    for change in (lambda: Erasure.objects.update(sha256="0" * 64), erasure.delete, person.delete):
        with pytest.raises((DatabaseError, Exception), match=r"append-only|protected"), transaction.atomic():
            change()
    assert Erasure.objects.get().sha256 == erasure.sha256


@pytest.mark.storage
def test_no_byte_of_the_name_is_left_in_the_database_s_file(transactional_db):
    """Rows that are written over leave their old words in a file's free places, if nobody sees to it."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL's own cleaning writes over what is dead")
    first_owner("mara")
    person = somebody("Wren Attwater", way="wren@reedbank.example", notes="heron " * 300)
    Person.objects.filter(pk=person.pk).update(notes="otter " * 20)
    erase_person(who=None, person=person, typed="Wren Attwater")
    name = connection.settings_dict["NAME"]
    call_command("verify")
    for path in (name, f"{name}-wal", f"{name}-journal"):
        try:
            with open(path, "rb") as file:  # noqa: PTH123
                bytes_there = file.read().lower()
        except FileNotFoundError:
            continue
        for words in (b"attwater", b"wren@", b"heron heron", b"otter otter"):
            assert words not in bytes_there, (path, words)


def test_struck_words_keep_the_sentence_whole():
    instead = "Somebody erased on 29 November 2026"
    assert (
        struck("Flag, for Wren Attwater, due 4 Dec.", ["Wren Attwater"], instead) == f"Flag, for {instead}, due 4 Dec."
    )
