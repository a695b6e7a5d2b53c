"""Cards, labels and tags are asked for on a page, waited for and opened; the owner writes what stands on them all."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.models import CardWords, PiecePaper
from tests.support.cards import piece


@pytest.fixture
def otter(owner):
    return piece(owner)


def asked(client, kind: str, **typed):
    sent = {"sheet": "a6", "first": "1", "coded": "on", "address": "https://shop.example"}
    key = secrets.token_urlsafe(24)
    return client.post(reverse("listings:cards", args=[kind]), {**sent, "form_key": key, **typed})


def test_a_care_card_is_asked_for_waited_for_and_opened(owner_client, otter):
    answer = asked(owner_client, "care", tick=[otter.pk])
    paper = PiecePaper.objects.get()
    assert answer.url == reverse("listings:card_paper", args=[paper.pk])
    state = reverse("listings:card_paper_state", args=[paper.pk])
    assert "are being made" in owner_client.get(state).content.decode()
    assert owner_client.get(reverse("listings:card_paper_pdf", args=[paper.pk])).status_code == 404
    run_waiting_tasks()
    assert "Open the care cards" in owner_client.get(state).content.decode()
    opened = owner_client.get(reverse("listings:card_paper_pdf", args=[paper.pk]))
    assert b"".join(opened.streaming_content).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("kind", "typed", "field"),
    [
        ("care", {"tick": []}, "__all__"),
        ("care", {"sheet": "a4-24-70"}, "sheet"),
        ("tags", {"sheet": "a4-24-70", "first": "25"}, "first"),
        ("label", {"sheet": "a4-8-99", "address": "shop"}, "address"),
    ],
)
def test_what_cannot_be_printed_is_said_beside_its_field(owner_client, otter, kind, typed, field):
    answer = asked(owner_client, kind, **{"tick": [otter.pk], **typed})
    assert answer.status_code == 422 and list(answer.context["form"].errors) == [field]
    assert not PiecePaper.objects.exists()


def test_a_code_that_no_phone_would_read_is_refused(owner_client, otter):
    """190 letters are a code of 65 squares or so, too many for 21 mm at a third of a millimetre each."""
    CardWords.objects.create(pk=1, link="https://reedbank.example/" + "a" * 165)
    answer = asked(owner_client, "tags", tick=[otter.pk], sheet="letter-30")
    assert answer.status_code == 422 and list(answer.context["form"].errors) == ["sheet"]


def test_the_words_on_cards_are_kept_once_and_two_who_write_them_see_both(owner_client):
    page = reverse("listings:card_words")
    typed = {"maker": "M. Reed", "address": "", "warnings": "", "words": "", "link": "", "edit_version": "1"}
    sent = {**typed, "form_key": secrets.token_urlsafe(24)}
    for _ in range(2):
        assert owner_client.post(page, sent).status_code == 302
    assert CardWords.objects.get().maker == "M. Reed" and CardWords.objects.get().edit_version == 2
    late = owner_client.post(page, {**typed, "maker": "Mara", "form_key": secrets.token_urlsafe(24)})
    assert late.status_code == 409 and "M. Reed" in late.content.decode()
    claim = {**typed, "words": "It is food safe.", "edit_version": "2", "form_key": secrets.token_urlsafe(24)}
    refused = owner_client.post(page, claim)
    assert refused.status_code == 422 and list(refused.context["form"].errors) == ["words"]
    assert CardWords.objects.get().words == ""
