"""Whose a picture is: said when it is brought, changed later, and asked before a board of it leaves the house."""

from __future__ import annotations

import secrets

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from shopapp.common.ledger import missing_triggers
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, RightsAnswer
from shopapp.designs.pictures.rights import answer_rights, question_before, say_whose, sentence_before_it_leaves
from tests.support.shop import picture, upload


def bring(client, **said):
    form = {"name": "Flag", "picture": upload(picture()), "form_key": secrets.token_urlsafe(24), **said}
    return client.post(reverse("designs:bring"), form)


@pytest.fixture
def design(owner_client):
    bring(owner_client)
    run_waiting_tasks()
    return Design.objects.get()


def say(client, design, **said):
    return client.post(
        reverse("designs:whose", args=[design.pk]),
        {"form_key": secrets.token_urlsafe(24), "edit_version": design.edit_version, **said},
    )


def test_nobody_is_pressed_a_picture_brought_without_a_word_is_not_known(owner_client):
    bring(owner_client)
    assert Design.objects.get().rights == "unknown"


@pytest.mark.parametrize(
    ("said", "note"),
    [
        ({"rights": "own"}, ""),
        ({"rights": "open", "licence": "CC0, drawn by a neighbour"}, "CC0, drawn by a neighbour"),
        ({"rights": "permission", "permission": "by letter, 3 May"}, "by letter, 3 May"),
        # What was typed beside another answer counts for nothing.
        ({"rights": "gift", "licence": "CC0"}, ""),
    ],
)
def test_the_answer_is_kept_with_the_words_that_belong_to_it(owner_client, said, note):
    assert bring(owner_client, **said).status_code == 302
    design = Design.objects.get()
    assert (design.rights, design.rights_note) == (said["rights"], note)


def test_an_open_licence_is_asked_which_and_nothing_typed_is_lost(owner_client):
    answer = bring(owner_client, rights="open", name="Boat")
    assert answer.status_code == 422 and not Design.objects.exists()
    assert "Write which licence" in answer.context["form"].errors["licence"][0]
    assert 'value="Boat"' in answer.content.decode()


def test_it_can_be_said_later_and_the_change_stands_in_the_audit(owner_client, design):
    say(owner_client, design, rights="own")
    design.refresh_from_db()
    assert design.rights == "own" and question_before(design, "quote") is None
    assert "now said to be mine" in AuditLine.objects.first().what


def test_the_second_of_two_who_answer_at_once_sees_both_answers(owner_client, owner, design):
    say_whose(who=owner, design=design, rights="own", note="", seen_version=design.edit_version)
    answer = say(owner_client, design, rights="gift")
    assert answer.status_code == 409
    words = answer.content.decode()
    assert "Somebody else changed this design" in words and "mine" in words and "for a private gift only" in words
    assert Design.objects.get().rights == "own"


@pytest.mark.parametrize(("rights", "asked"), [("unknown", True), ("gift", True), ("own", False), ("open", False)])
def test_before_it_is_quoted_or_listed_only_what_is_unknown_or_a_gift_is_asked(design, rights, asked):
    design.rights = rights
    assert [question_before(design, purpose) is not None for purpose in ("quote", "list")] == [asked, asked]
    assert bool(sentence_before_it_leaves(design)) == asked


def test_what_is_answered_is_kept_for_good_and_asked_once_for_each_purpose(owner_client, design):
    page = reverse("designs:whose", args=[design.pk])
    assert "May a board of it be quoted?" in owner_client.get(page).content.decode()
    say(owner_client, design, purpose="quote", rights="gift", reason="for the grandmother who drew it")
    answer = RightsAnswer.objects.get()
    assert answer.answer == "May be quoted: for a private gift only, for the grandmother who drew it"
    design.refresh_from_db()
    # The reason belongs to the answer; the picture is a gift's, without a note.
    assert (design.rights, design.rights_note) == ("gift", "")
    assert question_before(design, "quote") is None and question_before(design, "list") is not None
    words = owner_client.get(page).content.decode()
    assert "for the grandmother who drew it" in words and "May a board of it be listed?" in words


def test_what_was_answered_is_not_said_to_be_asked_still(owner_client, owner, design):
    hub = design.get_absolute_url()
    assert "asked about before it is quoted or listed" in owner_client.get(hub).content.decode()
    answer_rights(who=owner, design=design, purpose="quote", rights="unknown", note="drawn by her")
    assert "asked about before it is listed" in owner_client.get(hub).content.decode()
    answer_rights(who=owner, design=design, purpose="list", rights="unknown", note="drawn by her")
    assert "asked about" not in owner_client.get(hub).content.decode()
    assert sentence_before_it_leaves(Design.objects.get()) == ""


def test_said_to_be_something_else_afterwards_it_is_asked_again(owner, design):
    answer_rights(who=owner, design=design, purpose="quote", rights="gift", note="for Joss")
    design.refresh_from_db()
    say_whose(who=owner, design=design, rights="unknown", note="", seen_version=design.edit_version)
    design.refresh_from_db()
    assert "Nobody has said yet" in question_before(design, "quote")


def test_what_stays_unsettled_takes_a_reason_and_what_is_settled_none(owner_client, design):
    refused = say(owner_client, design, purpose="list", rights="unknown")
    assert refused.status_code == 422 and "reason" in refused.context["form"].errors
    assert not RightsAnswer.objects.exists()
    say(owner_client, design, purpose="list", rights="open", licence="CC0")
    design.refresh_from_db()
    assert (design.rights, design.rights_note) == ("open", "CC0")
    assert RightsAnswer.objects.get().answer == "May be listed: under an open licence, CC0"


@pytest.mark.storage
def test_no_answer_can_be_changed_or_taken_away(owner, design):
    answer_rights(who=owner, design=design, purpose="quote", rights="own", note="")
    assert missing_triggers() == []
    for change in ("UPDATE designs_rightsanswer SET answer = ''", "DELETE FROM designs_rightsanswer"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(change)
