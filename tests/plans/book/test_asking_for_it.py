"""A shop book is asked for of what is kept, made once by the worker, and opened from its plan's or its job's page."""

from __future__ import annotations

import secrets

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse

from planner.pattern import Pattern
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.making import making_of_job
from shopapp.lumber.models import StockPiece
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.models import ShopBook
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.workshop.models import Workshop
from tests.support import evenings, sawing, work
from tests.support.books import a_plan, build_sheet_of_then, with_cut_plan, with_evenings

SMALL = Pattern.from_text("1 -, 1 walnut-black, 1 padauk, 1 -\n1 -, 1 birch-yellow, 1 walnut-black, 1 -")


@pytest.fixture
def plan(owner):
    return a_plan(owner, SMALL)


def ask(client, address, paper="A4", key=None):
    return client.post(address, {"paper": paper, "form_key": key or secrets.token_urlsafe(24)}, follow=True)


def page_of(client, plan) -> str:
    return client.get(reverse("plans:book", args=[plan.pk])).content.decode()


def test_the_worker_makes_it_and_it_is_opened_from_the_plan(owner_client, plan):
    assert reverse("plans:book", args=[plan.pk]) in owner_client.get(plan.get_absolute_url()).content.decode()
    assert "being made" in ask(owner_client, reverse("plans:book", args=[plan.pk])).content.decode()
    book = ShopBook.objects.get()
    run_waiting_tasks()
    state = owner_client.get(reverse("plans:book_state", args=[plan.pk, book.pk])).content.decode()
    opened = reverse("plans:book_pdf", args=[plan.pk, book.pk])
    assert opened in state and opened in page_of(owner_client, plan)
    paper = owner_client.get(opened)
    assert paper.headers["Content-Type"] == "application/pdf"
    assert b"".join(paper.streaming_content).startswith(b"%PDF")
    assert AuditLine.objects.filter(what__contains="The shop book of").count() == 1


def test_without_cut_plan_and_timetable_the_page_says_what_will_be_missing_and_where_they_are_looked_for(
    owner_client, plan
):
    page = page_of(owner_client, plan)
    assert "No cut plan is kept," in page and reverse("plans:cut", args=[plan.pk]) in page
    assert "No timetable is kept," in page and reverse("plans:timetable", args=[plan.pk]) in page


def test_asked_for_twice_it_is_made_once_and_another_paper_is_another_book(owner, plan):
    binding = binding_of(plan)
    first = ask_for_book(who=owner, binding=binding, paper="A4")
    again = ask_for_book(who=owner, binding=binding, paper="A4")
    assert again.pk == first.pk and again.task == first.task
    run_waiting_tasks()
    made = ask_for_book(who=owner, binding=binding, paper="A4")
    assert made.pk == first.pk and made.document_id and made.task == first.task
    assert ask_for_book(who=owner, binding=binding, paper="letter").pk != first.pk
    assert ShopBook.objects.count() == 2


def test_a_form_sent_twice_asks_once(owner_client, plan):
    address, key = reverse("plans:book", args=[plan.pk]), secrets.token_urlsafe(24)
    ask(owner_client, address, key=key)
    answer = ask(owner_client, address, paper="letter", key=key)
    assert "already asked for" in answer.content.decode() and ShopBook.objects.count() == 1


def test_a_paper_there_is_not_is_refused_in_words_and_nothing_is_asked_for(owner_client, plan):
    answer = ask(owner_client, reverse("plans:book", args=[plan.pk]), paper="A3")
    assert answer.status_code == 422 and "not among what is offered" in answer.content.decode()
    assert not ShopBook.objects.exists()


def test_it_is_bound_from_the_newest_cut_plan_and_timetable_and_what_is_kept_later_makes_another(owner, plan):
    bare = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    assert (bare.sheet, bare.timetable) == (None, None)
    with_evenings(owner, with_cut_plan(owner, plan))
    whole = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    assert whole.pk != bare.pk and whole.sheet.plan == whole.timetable.plan == plan
    newer = evenings.kept(owner, making_of_plan(plan.pk))
    assert ask_for_book(who=owner, binding=binding_of(plan), paper="A4").timetable == newer


def test_a_board_that_was_put_elsewhere_makes_another_book_for_it_says_where_boards_lie(owner, owner_client, plan):
    with_cut_plan(owner, plan)
    first = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    mark = first.sheet.pieces[0]["mark"]
    StockPiece.objects.filter(mark=mark).update(place="loft")
    assert "Something changed since" in page_of(owner_client, plan)
    second = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    assert second.pk != first.pk
    assert (first.seen["places"][mark], second.seen["places"][mark]) == (f"Rack B, shelf {len_of(mark)}", "loft")


def len_of(mark: str) -> int:
    return len(StockPiece.objects.get(mark=mark).wood)


def test_nothing_of_a_book_but_its_task_and_document_is_changed_later(owner, plan):
    book = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    ShopBook.objects.filter(pk=book.pk).update(task="another")
    for change in ({"label": "Other"}, {"seen": {}}, {"paper": "letter"}):
        with pytest.raises(DatabaseError), transaction.atomic():
            ShopBook.objects.filter(pk=book.pk).update(**change)
    with pytest.raises(DatabaseError), transaction.atomic():
        ShopBook.objects.filter(pk=book.pk).delete()


def test_a_job_has_its_own_book_with_the_timetable_that_was_kept_for_the_bare_plan(owner, owner_client):
    plan = with_evenings(owner, a_plan(owner, SMALL))
    job = work.job(owner, plan)
    sawing.a_rack(owner)
    sheet = sawing.keep(owner, sawing.cutting_of(job))
    ask(owner_client, reverse("jobs:book", args=[job.pk]), paper="letter")
    book = ShopBook.objects.get()
    assert (book.key, book.label, book.plan, book.sheet) == (job.key, job.label, plan, sheet)
    assert book.timetable.key == f"plan {plan.pk}" in making_of_job(job.pk).keys
    assert "shop book" in owner_client.get(job.get_absolute_url()).content.decode().lower()
    # At the plan's own address it is not found.
    assert owner_client.get(reverse("plans:book_pdf", args=[plan.pk, book.pk])).status_code == 404


def test_without_the_pdf_libraries_the_page_says_what_to_install_and_it_can_be_asked_for_again(
    owner_client, plan, monkeypatch
):
    import shopapp.common.paper as paper

    def missing():
        raise paper.PaperTrouble("This machine lacks the libraries that make PDFs. Install them as the README says.")

    address = reverse("plans:book", args=[plan.pk])
    with monkeypatch.context() as without:
        without.setattr(paper, "_engine", missing)
        ask(owner_client, address)
        run_waiting_tasks()
    assert "lacks the libraries" in page_of(owner_client, plan)
    ask(owner_client, address)
    run_waiting_tasks()
    assert "Open the shop book" in page_of(owner_client, plan) and ShopBook.objects.count() == 1


def test_a_book_that_is_not_made_yet_is_not_found_in_words(owner, owner_client, plan):
    book = ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    answer = owner_client.get(reverse("plans:book_pdf", args=[plan.pk, book.pk]))
    assert answer.status_code == 404 and "not made yet" in answer.content.decode()


def test_a_build_sheet_of_before_is_opened_where_it_was_and_no_other_is_made(owner_client, plan):
    address = reverse("plans:sheet_pdf", args=[plan.pk])
    assert owner_client.get(address).status_code == 404
    assert "build sheet" not in owner_client.get(plan.get_absolute_url()).content.decode()
    build_sheet_of_then(plan)
    assert address in owner_client.get(plan.get_absolute_url()).content.decode()
    assert b"".join(owner_client.get(address).streaming_content) == b"%PDF-1.7 of then"


@pytest.mark.parametrize(("unit", "paper"), [("mm", "A4"), ("in", "letter")])
def test_the_paper_offered_first_is_that_of_a_shop_of_this_unit(owner_client, plan, unit, paper):
    Workshop.objects.update_or_create(pk=1, defaults={"unit": unit})
    form = owner_client.get(reverse("plans:book", args=[plan.pk])).context["form"]
    assert form["paper"].value() == paper
