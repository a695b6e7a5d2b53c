"""`manage.py verify` looks at every quote: its figures match their hash and add up, its options are those the figures
are of, its plans are as they were kept, and its paper is the one that was made."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection

from shopapp.common.files import faults_of_stored_files, file_path
from shopapp.common.ledger import lay_triggers, missing_triggers
from shopapp.common.tasks import run_waiting_tasks
from shopapp.people.models import Member
from shopapp.plans.models import canonical
from shopapp.quotes.checks import figures_that_are_not_as_kept
from shopapp.quotes.figures import faults_in, hash_of
from shopapp.quotes.models import Quote, QuotePaper
from tests.support import work


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def quote(owner):
    plan = work.kept(owner)
    pair = work.beside(owner, plan, quantity=2)
    return work.quote(owner, plan, pair, carriage=Decimal("12.00"), deposit=Fraction(1, 3), shows_sums=True)


def by_force(statement: str, *values: object) -> None:
    """As somebody would who reaches the database past the house: without its triggers."""
    with connection.cursor() as cursor:
        for trigger in ("quotes_quote_no_update", "plans_plan_no_update"):
            table = trigger.removesuffix("_no_update")
            cursor.execute(
                f"DROP TRIGGER {trigger}" if connection.vendor == "sqlite" else f"DROP TRIGGER {trigger} ON {table}"
            )
        cursor.execute(statement, values)
    lay_triggers()
    assert missing_triggers() == []


def test_a_quote_as_it_was_made_is_found_whole(quote):
    assert figures_that_are_not_as_kept() == []


def test_figures_changed_by_hand_are_found(quote):
    by_force("UPDATE quotes_quote SET figures = %s", quote.figures.replace("252.00", "52.00"))
    assert figures_that_are_not_as_kept() == [f"{quote}: its figures do not match their hash."]


@pytest.mark.parametrize(
    ("name", "of", "said"),
    [
        ("each", "200.00", "1 × 200.00 is not 240.00"),
        ("carriage", "0.00", "boards and carriage come to 240.00"),
        ("tax", "9.00", "and tax of 9.00 are not"),
        ("rest", "1.00", "deposit and rest are not"),
    ],
)
def test_sums_that_do_not_add_up_are_found_though_their_hash_was_made_anew(quote, name, of, said):
    figures = json.loads(quote.figures)
    figures["options"][0][name] = of
    text = canonical(figures)
    by_force("UPDATE quotes_quote SET figures = %s, figures_sha256 = %s", text, hash_of(text))
    assert said in figures_that_are_not_as_kept()[0]


def test_what_goes_into_a_price_adds_up_to_it(quote):
    figures = json.loads(quote.figures)
    assert faults_in(figures) == []
    figures["options"][1]["inside"][0][1] = "0.01"
    assert faults_in(figures) == ["option 2: what goes into it does not come to 480.00."]


def test_another_plan_under_an_option_is_found(quote):
    option = quote.options.first()
    by_force("UPDATE plans_plan SET sha256 = %s WHERE id = %s", "0" * 64, option.plan_id)
    assert figures_that_are_not_as_kept() == [
        f"{quote}: its options are not those its figures are of.",
        f"{quote}: the plan of option 1 does not match its hash.",
    ]


def test_a_paper_that_is_not_the_one_that_was_made_is_found(quote):
    run_waiting_tasks()
    document = QuotePaper.objects.get(quote=quote).document
    assert faults_of_stored_files() == []
    file_path(document.name).write_bytes(b"%PDF another")
    assert any(document.name in words for words in faults_of_stored_files())


def test_a_quote_of_before_figures_were_kept_still_tells_its_sums(quote):
    from shopapp.quotes.readers import shown_to_customer

    told = shown_to_customer(quote)["options"]
    by_force("UPDATE quotes_quote SET figures = '', figures_sha256 = ''")
    assert figures_that_are_not_as_kept() == []
    assert shown_to_customer(Quote.objects.get())["options"] == told
