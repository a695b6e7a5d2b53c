"""Several who act in the same moment: a quote is accepted once, every quote has a number of its own, and no piece goes
to a job that was called off."""

from __future__ import annotations

import pytest

from shopapp.jobs.models import Job
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.quotes.answering.readers import answers_told_wrongly
from shopapp.quotes.checks import quotes_told_wrongly
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent
from tests.support import work
from tests.support.at_once import at_once
from tests.support.offers import link_to
from tests.support.rack import boards

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]
HOW_MANY = 4

BY_LINK = """
import sys
from shopapp.jobs.actions import accept_quote
from shopapp.quotes.actions import QuoteMoved
from shopapp.quotes.answering.actions import hash_of
from shopapp.quotes.answering.readers import opened
one = opened(sys.argv[2].split(",")[int(sys.argv[1])])
said = {"label": "Flag", "name": f"Customer {sys.argv[1]}", "link": one and one.link}
try:
    accept_quote(who=None, quote=one.quote, seen=hash_of(one.shown), **said)
    print("accepted")
except QuoteMoved:
    print("refused")
"""


def test_of_several_customers_who_say_yes_by_links_of_their_own_at_once_one_accepts(owner):
    quote = work.quote(owner, work.kept(owner))
    tokens = ",".join(link_to(owner, quote) for _ in range(HOW_MANY))
    answers = sorted(at_once(BY_LINK, tokens))
    assert answers == ["accepted"] + ["refused"] * (HOW_MANY - 1)
    answer = QuoteAnswer.objects.get()
    assert QuoteEvent.objects.filter(quote=quote).count() == 2 and Job.objects.get().quote == quote
    assert answer.name.startswith("Customer") and jobs_told_wrongly() == [] and answers_told_wrongly() == []


ACCEPT = """
import sys
from shopapp.jobs.actions import accept_quote
from shopapp.quotes.actions import QuoteMoved
from shopapp.quotes.models import Quote
try:
    accept_quote(who=None, quote=Quote.objects.get(), label=f"Job {sys.argv[1]}")
    print("accepted")
except QuoteMoved:
    print("too late")
"""


def test_a_quote_everybody_accepts_at_once_is_accepted_once(owner):
    work.quote(owner, work.kept(owner))
    said = at_once(ACCEPT)
    assert sorted(said) == ["accepted"] + ["too late"] * (HOW_MANY - 1)
    assert Job.objects.count() == QuoteEvent.objects.filter(kind="accepted").count() == 1
    assert jobs_told_wrongly() == quotes_told_wrongly() == []


WRITE = """
from shopapp.plans.models import Plan
from shopapp.quotes.actions import Offered, make_quote
from tests.support.work import PRICE, offer
for _ in range(3):
    print(make_quote(who=None, offer=offer(), options=[Offered(Plan.objects.get(), PRICE)]).number)
"""


def test_quotes_written_at_once_have_numbers_without_a_gap(owner):
    plan = work.kept(owner)
    work.may(owner, plan, "quote")
    said = at_once(WRITE)
    numbers = sorted(int(number) for lines in said for number in lines.split())
    assert numbers == list(range(1, 3 * HOW_MANY + 1)) and Quote.objects.count() == len(numbers)


RACE = """
import sys
from planner.errors import PlannerError
from shopapp.jobs.actions import move_job
from shopapp.jobs.models import Job
from shopapp.jobs.readers import wanted_by
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.actions import Tick, do_with_ticked
from shopapp.people.models import Member
job = Job.objects.get()
if sys.argv[1] == "0":
    while True:
        job.refresh_from_db()
        try:
            move_job(who=Member.objects.get(), job=job, state="called off", seen_version=job.edit_version)
            break
        except PlannerError:
            pass
else:
    for piece in StockPiece.objects.order_by("pk"):
        try:
            do_with_ticked(who=None, wanted=wanted_by(job), do="reserve", ticks=[Tick(piece.pk, piece.edit_version)])
        except PlannerError:
            pass
"""


def test_nothing_stays_reserved_for_a_job_that_is_called_off_while_others_reserve_for_it(owner):
    work.job(owner)
    boards(owner, 30)
    at_once(RACE)
    assert Job.objects.get().state == "called off"
    assert not StockPiece.objects.filter(state="here").exclude(demand=None).exists()
    assert jobs_told_wrongly() == pieces_that_are_not_their_moves() == worth_that_came_or_went_unseen() == []
