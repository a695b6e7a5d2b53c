"""What quotes hold of a person is told, given out and forgotten; the sums of a quote and its hash stay."""

from __future__ import annotations

import pytest

from shopapp.common.erasing import taken_away
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.people.book import forget_everywhere, held_of, history_of, would_go
from shopapp.quotes.checks import figures_that_are_not_as_kept, quotes_told_wrongly
from shopapp.quotes.models import Quote, QuoteDraft, QuoteEvent, QuotePaper
from tests.support import work
from tests.support.people import somebody


@pytest.fixture
def person(owner):
    person = somebody("Wren Attwater")
    plan = work.kept(owner)
    work.quote(owner, plan, person=person, title="Flag for Wren Attwater")
    work.draft(owner, plan, person=person, title="Another for wren  attwater", words="Dear Wren Attwater")
    run_waiting_tasks()
    return person


def test_what_was_made_for_somebody_is_told_and_given_out(person):
    quote = Quote.objects.get()
    words = [one.words for one in history_of(person)]
    assert f"{quote} was made: Flag for Wren Attwater, €\u00a0240.00." in words
    assert "A quote was begun: Another for wren  attwater." in words
    held = held_of(person)["quotes"]
    assert held["quotes"][0]["words"] == "As we spoke about it on the quay."
    assert held["quotes"][0]["paper_sha256"] == QuotePaper.objects.get().document.sha256
    assert held["drafts"][0]["words"] == "Dear Wren Attwater"


def test_who_is_forgotten_leaves_no_name_in_a_quote_and_its_sums_stay(person):
    before = Quote.objects.get()
    document = QuotePaper.objects.get().document
    assert any("1 × quote, 1 × quote being written" in words for words in would_go(person))
    forget_everywhere(person, "Somebody who was forgotten")
    quote, draft = Quote.objects.get(), QuoteDraft.objects.get()
    assert quote.for_whom == draft.for_whom == "Somebody who was forgotten"
    assert quote.words == draft.words == "" and quote.title == "Flag for Somebody who was forgotten"
    assert (quote.figures, quote.figures_sha256) == (before.figures, before.figures_sha256)
    assert document.name in taken_away()
    said = [*QuoteEvent.objects.values_list("words", flat=True), *AuditLine.objects.values_list("what", flat=True)]
    assert not any("attwater" in words.casefold() for words in (*said, draft.title))
    assert figures_that_are_not_as_kept() == quotes_told_wrongly() == []
