"""What was paid or given back and written down wrongly: struck in its place with why, the books after it."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.books.entries import Currency, ledger
from shopapp.books.period import Period
from shopapp.books.sums import added, of_period
from shopapp.listings.mending.actions import mend_expense, mend_given_back
from shopapp.listings.models import Expense, SaleChange
from shopapp.listings.selling.ending import take_back
from shopapp.listings.telling import ListingMoved
from shopapp.workshop.readers import the_workshop
from tests.support import pieces

TODAY = timezone.localdate()


@pytest.fixture
def heron(owner):
    one = pieces.piece(owner)
    pieces.sold(owner, one, carriage=Decimal(12), on=TODAY - timedelta(days=9), channel=pieces.a_channel())
    one.refresh_from_db()
    return one


def year(line: str) -> Decimal:
    shop = the_workshop()
    return added(of_period(ledger(shop), Period(TODAY.year), Currency.of(shop))).of(line)


def typed(**more: str) -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24), "on": TODAY.isoformat(), "why": "A nought too many", **more}


def test_carriage_written_ten_times_too_large_is_mended_on_its_page_and_stands_there_struck(
    owner, owner_client, heron
):  # fmt: skip
    parcel = pieces.a_parcel(owner, heron)
    parcel_page = parcel.get_absolute_url()
    sent = {"state": "sent", "carriage": "95.00", "edit_version": parcel.edit_version}
    assert owner_client.post(f"{parcel_page}do/moved/", typed(**sent)).status_code == 302
    wrong = Expense.objects.get(kind="carriage")
    page = f"/listings/expenses/{wrong.pk}/"
    for bad in ({"why": ""}, {"instead": "x"}, {"on": "2019-01-01"}):
        answer = owner_client.post(page, typed(**{"instead": "9.50", **bad}))
        assert answer.status_code == 422 and Expense.objects.filter(kind="carriage").count() == 1
    twice = typed(instead="9.50")
    for _ in range(2):
        assert owner_client.post(page, twice).status_code == 302
    wrong.refresh_from_db()
    assert wrong.amount == 95 and year("spent-carriage") == Decimal("9.50") and pieces.told_wrongly() == []
    for place in (parcel_page, heron.get_absolute_url(), page):
        told = owner_client.get(place).content.decode()
        assert re.search(r"<s>[^<]*95.00", told) and "A nought too many" in told
    assert owner_client.post(page, typed()).status_code == 422
    # What it was instead is mended in its turn, and where nothing stands it is written anew.
    right = Expense.objects.get(kind="carriage", amount=Decimal("9.50"))
    assert owner_client.post(f"/listings/expenses/{right.pk}/", typed(instead="")).status_code == 302
    parcel.refresh_from_db()
    anew = typed(amount="9.05", edit_version=parcel.edit_version)
    assert owner_client.post(f"{parcel_page}do/carriage/", anew).status_code == 302
    assert year("spent-carriage") == Decimal("9.05")
    assert owner_client.post(f"{parcel_page}do/carriage/", typed(amount="1")).status_code in (409, 422)


def test_what_was_not_given_back_after_all_is_taken_back_tax_and_all(owner, owner_client, heron):
    change = take_back(who=owner, sale=heron.sale, kind="reduced", on=TODAY, back=Decimal(40), words="A dent.")
    before = year("sold")
    assert year("back") + change.back_tax == 40
    page = f"/listings/given-back/{change.pk}/"
    assert owner_client.post(page, typed(instead="4", why="It was four")).url == heron.get_absolute_url()
    instead = heron.sale.changes.get(undoes=None, back=4)
    assert (year("back"), year("sold")) == (4 - instead.back_tax, before) and pieces.told_wrongly() == []
    told = owner_client.get(heron.get_absolute_url()).content.decode()
    assert re.search(r"<s>[^<]*40.00", told) and "It was four" in told
    with pytest.raises(ListingMoved, match="taken back already"):
        mend_given_back(who=owner, change=change, why="x", on=TODAY)
    with pytest.raises(PlannerError, match="is left of what was paid"):
        mend_given_back(who=owner, change=instead, why="x", on=TODAY, instead=Decimal(9999))
    assert SaleChange.objects.count() == 3


def test_a_fee_a_return_took_back_is_not_taken_back_twice_and_no_ending_is_undone(owner, owner_client, heron):
    fee = heron.sale.expenses.get(kind="fee")
    back = take_back(who=owner, sale=heron.sale, kind="returned", on=TODAY, back=Decimal(0), fees_back=True)
    with pytest.raises(ListingMoved, match="taken back already"):
        mend_expense(who=owner, expense=fee, why="x", on=TODAY)
    with pytest.raises(ListingMoved, match="The sale is over by it"):
        mend_given_back(who=owner, change=back, why="x", on=TODAY)
    # From the books each entry leads to its own page.
    listed = owner_client.get(f"/books/{fee.on.year}/entries/spent-fee/").content.decode()
    assert f'href="/listings/expenses/{fee.pk}/">expense {fee.pk}</a>' in listed
    assert "Take it back" not in owner_client.get(f"/listings/expenses/{fee.pk}/").content.decode()
