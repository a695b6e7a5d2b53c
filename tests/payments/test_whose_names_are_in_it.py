"""Papers about money keep their names as long as the settings say; after that the sums stay and the names go."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.common.files import file_path
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.payments import checks
from shopapp.payments.actions import expect
from shopapp.payments.models import Account, Invoice, MoneyPaper, Payment
from shopapp.payments.persons import EXPLAINS, forget, goes, history, keeps, out
from shopapp.people.known.erasing import erase_person
from shopapp.people.models import Person
from shopapp.workshop.models import Workshop
from tests.support.money import credited, deal, invoiced, paid
from tests.support.people import somebody


@pytest.fixture
def wren(db) -> Person:
    return somebody("Wren Attwater", address="Mill Lane 3")


def ledger_of(person: Person, dated: date) -> Invoice:
    account = expect(None, deal(person=person, label="Heron for Wren Attwater"))
    invoice = invoiced(None, account, dated=dated, due=dated, words="Dear Wren Attwater, thank you.")
    paid(None, invoice, "200", on=dated, note="from Wren's aunt")
    credited(None, invoice, "5", "Wren Attwater found a scratch.", dated=dated)
    return invoice


def years_ago(years: int) -> date:
    today = timezone.localdate()
    return date(today.year - years, 6, 1)


def test_what_a_person_had_is_told_with_its_pages(wren):
    invoice = ledger_of(wren, timezone.localdate())
    told = [one.words for one in history(wren)]
    assert told == [
        "Heron for Wren Attwater was agreed.",
        f"{invoice} was issued, €\u00a0772.00.",
        f"Credit note C{invoice.year}-0001 was issued, €\u00a05.00.",
        f"€\u00a0200.00 was paid for invoice {invoice.reference}.",
    ]
    assert all(one.url for one in history(wren))
    assert history(somebody("Tam Sedge")) == []


def keys_of(held: object) -> set[str]:
    if isinstance(held, dict):
        return set(held) | {key for value in held.values() for key in keys_of(value)}
    return {key for value in held for key in keys_of(value)} if isinstance(held, list) else set()


def test_everything_of_theirs_is_given_out_and_each_key_explained(wren):
    assert out(wren) == {}
    invoice = ledger_of(wren, timezone.localdate())
    run_waiting_tasks()
    (owed,) = out(wren)["owed"]
    (one,) = owed["invoices"]
    assert one["address"] == "3 Quay Row\nReedbank" and one["in_all"] == "772.00"
    assert one["payments"] == [[invoice.dated.isoformat(), "200.00", "transfer", "from Wren's aunt"]]
    assert one["paper_sha256"] == MoneyPaper.objects.get(invoice=invoice).document.sha256
    assert keys_of(out(wren)) <= set(EXPLAINS)


def test_within_the_years_papers_are_kept_nothing_of_them_goes_and_it_is_said_until_when(wren):
    Workshop.objects.update_or_create(pk=1, defaults={"keep_years": 10})
    invoice = ledger_of(wren, years_ago(10))
    assert f"until the end of {invoice.year + 10}" in keeps(wren) and "10 years" in keeps(wren)
    assert goes(wren) == []
    erase_person(who=None, person=wren, typed="Wren Attwater")
    invoice.refresh_from_db()
    assert invoice.for_whom == "Wren Attwater" and Account.objects.get().for_whom == "Wren Attwater"


def test_after_them_the_name_the_address_the_notes_and_the_papers_go_and_the_sums_stay(
    wren, owner_client, django_capture_on_commit_callbacks
):
    invoice = ledger_of(wren, years_ago(11))
    run_waiting_tasks()
    papers = [paper.document for paper in MoneyPaper.objects.all()]
    assert len(papers) == 2 and keeps(wren) == ""
    told = goes(wren)
    assert told == ["The name in what is owed for 1 thing.", "Name, address and paper of 2 invoices or credit notes."]
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(who=None, person=wren, typed="Wren Attwater")
    wren.refresh_from_db()
    invoice.refresh_from_db()
    assert (invoice.for_whom, invoice.address) == (str(wren), "")
    assert invoice.words == f"Dear {wren}, thank you." and Account.objects.get().label == f"Heron for {wren}"
    assert Payment.objects.get().note == "" and not any(file_path(one.name).exists() for one in papers)
    assert not AuditLine.objects.filter(what__contains="Attwater").exists()
    assert out(wren) == {} and goes(wren) == [] and forget(wren, str(wren)) == []
    # The money is as it was, and the book says where the paper went.
    for find_faults in (checks.numbers_with_gaps, checks.sums_that_are_not_their_lines, checks.papers_that_are_missing):
        assert find_faults() == []
    page = owner_client.get(invoice.get_absolute_url()).content.decode()
    assert "Attwater" not in page and "€\u00a0772.00" in page and "The paper went with the name" in page
    assert owner_client.get(reverse("payments:pdf", args=[invoice.pk])).status_code == 404


def test_what_is_of_a_kept_year_holds_the_older_papers_of_the_same_deal(wren):
    account = expect(None, deal(person=wren))
    old = years_ago(11)
    deposit = invoiced(None, account, "deposit", dated=old, due=old)
    paid(None, deposit, "1", on=timezone.localdate() - timedelta(days=1))
    assert keeps(wren) and goes(wren) == []
