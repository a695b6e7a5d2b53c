"""A visitor asks from the shop's page; the maker is told by mail, answers or sets aside, takes whoever asked into the
book, begins a quote. What a person asked is told, given out and forgotten with the rest of them."""

from __future__ import annotations

import secrets

import pytest
from django.test import Client
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks, task_state
from shopapp.listings.enquiries import actions
from shopapp.listings.models import Enquiry, ShopPage
from shopapp.people.book import held_of, history_of, would_go
from shopapp.people.known.erasing import erase_person, still_standing
from shopapp.people.loose import loose_rows
from shopapp.people.models import Member, Person
from shopapp.quotes.models import QuoteDraft
from tests.support import visitors, work
from tests.support.people import somebody
from tests.support.visitors import ASKED, MAKER, asked, piece_page


@pytest.fixture
def posted(posted, settings):
    settings.PUBLIC_ROOT = "https://boards.example"
    return posted


def act(client, enquiry: Enquiry, do: str, **changes):
    enquiry.refresh_from_db()
    typed = {"form_key": secrets.token_urlsafe(24), "edit_version": enquiry.edit_version, **changes}
    return client.post(reverse("listings:enquiry_act", args=[enquiry.pk, do]), typed)


@pytest.fixture
def at_the_desk(client, owner, db):
    client.force_login(owner)
    return client


def test_a_question_is_written_down_and_told_to_the_maker_who_can_answer_at_once(db, heron, posted):
    answer = Client().post(piece_page(heron), ASKED)
    assert answer.status_code == 303 and answer.headers["Location"] == reverse("shop:asked")
    assert "with the maker" in Client().get(answer.headers["Location"]).content.decode()
    enquiry = Enquiry.objects.get()
    assert (enquiry.listing, enquiry.name, enquiry.way, enquiry.words, enquiry.state, enquiry.person) == (
        heron, ASKED["name"], ASKED["way"], ASKED["words"], "new", None,
    )  # fmt: skip
    assert posted == []
    run_waiting_tasks()
    (letter,) = posted
    assert letter.to == [MAKER] and letter.reply_to == [ASKED["way"]] and MAKER in letter.from_email
    assert letter.subject == f"A question about No. {heron.piece.number}, Heron"
    assert ASKED["words"] in letter.body and f"https://boards.example/listings/asked/{enquiry.pk}/" in letter.body
    assert not [line.what for line in AuditLine.objects.all() if "Wren" in line.what]


def test_what_is_sent_twice_is_one_question_and_another_day_it_is_another(db, heron, posted, monkeypatch):
    for _ in range(3):
        assert Client(REMOTE_ADDR="10.0.0.1").post(piece_page(heron), ASKED).status_code == 303
    assert Enquiry.objects.count() == 1
    monkeypatch.setattr(actions.timezone, "localdate", lambda: "tomorrow")
    assert asked(heron) is not None and asked(heron) is None and Enquiry.objects.count() == 2


def test_the_shop_s_own_page_takes_a_question_about_no_piece(db, heron, posted):
    assert Client().post("/shop/", ASKED).status_code == 303
    assert Enquiry.objects.get().listing is None
    run_waiting_tasks()
    assert posted[0].subject == "A question about the shop’s page"


def test_without_letters_set_up_the_question_stands_in_the_book_and_nobody_waits_for_mail(at_the_desk, heron, settings):
    settings.MAIL_GOES = ""
    assert Client().post(piece_page(heron), ASKED).status_code == 303
    assert Enquiry.objects.get().task == ""
    assert "not told by mail" in at_the_desk.get(reverse("listings:shop_page")).content.decode()


def test_a_letter_that_does_not_go_out_is_told_where_the_question_stands(at_the_desk, heron, posted, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    enquiry = asked(heron)
    run_waiting_tasks()
    assert task_state(enquiry.task).word == "failed"
    body = at_the_desk.get(reverse("listings:enquiry", args=[enquiry.pk])).content.decode()
    assert "did not go out" in body and "could not be reached" in body


def test_a_way_that_is_no_address_is_not_answered_to_by_mail(db, heron, posted):
    for way in ("07700 900 123", "ring at the blue door", "a@example.org, b@example.org", "wren at boathouse"):
        asked(heron, way=way)
    run_waiting_tasks()
    assert [letter.reply_to for letter in posted] == [[]] * 4


def test_questions_not_taken_have_no_form_and_what_is_sent_all_the_same_is_told_so(db, heron):
    ShopPage.objects.update(takes_enquiries=False)
    assert "<form" not in visitors.get(piece_page(heron)).content.decode()
    answer = Client().post(piece_page(heron), ASKED)
    assert answer.status_code == 403 and "not taken" in answer.content.decode() and not Enquiry.objects.exists()


def test_what_waits_stands_first_and_is_answered_set_aside_and_taken_up_again(at_the_desk, heron, db):
    first, second = asked(heron), asked(heron, name="Ash Ferrier", words="Is it oak?")
    assert act(at_the_desk, second, "answered").status_code == 302
    body = at_the_desk.get(reverse("listings:enquiries")).content.decode()
    assert body.index("Wren Attwater") < body.index("Ash Ferrier") and "waits" in body
    for do, state in (("aside", "aside"), ("new", "new"), ("answered", "answered")):
        act(at_the_desk, first, do)
        first.refresh_from_db()
        assert first.state == state
    act(at_the_desk, first, "aside", edit_version="1")
    first.refresh_from_db()
    assert first.state == "answered"
    assert act(at_the_desk, first, "nonsense").status_code == 404


def test_who_asked_is_taken_into_the_book_with_the_way_they_gave(at_the_desk, heron, db):
    enquiry = asked(heron)
    page = reverse("listings:take_enquirer", args=[enquiry.pk])
    empty = at_the_desk.post(page, {"person": "", "form_key": "a" * 32})
    assert empty.status_code == 422 and "Nobody is named" in empty.content.decode()
    at_the_desk.post(page, {"person": "Wren Attwater", "person_is": "new", "form_key": "b" * 32})
    person = Person.objects.get()
    assert (person.name, [(way.kind, way.words) for way in person.ways.all()]) == (
        "Wren Attwater", [("mail", ASKED["way"])],
    )  # fmt: skip
    enquiry.refresh_from_db()
    assert enquiry.person == person
    again = at_the_desk.post(page, {"person": "Ash", "person_is": "new", "form_key": "c" * 32})
    assert again.status_code == 422 and Person.objects.count() == 1


def test_somebody_of_the_book_keeps_what_is_written_of_them(at_the_desk, heron, db):
    wren = somebody("Wren Attwater", way="wren@elsewhere.example")
    enquiry = asked(heron)
    page = reverse("listings:take_enquirer", args=[enquiry.pk])
    at_the_desk.post(page, {"person": "Wren Attwater", "person_is": str(wren.pk), "form_key": "b" * 32})
    assert [way.words for way in wren.ways.all()] == ["wren@elsewhere.example"]


@pytest.mark.parametrize(
    ("way", "kind"),
    [("+44 1632 960104", "phone"), ("the blue door", "other"), ("w@b.example", "mail"), ("12", "other")],
)
def test_a_way_is_taken_for_what_it_is(way, kind):
    from shopapp.listings.enquiries.readers import way_of

    assert way_of(way) == kind


def test_a_quote_is_begun_of_the_board_that_was_asked_about(at_the_desk, owner, heron, db):
    enquiry = asked(heron)
    wren = actions.take_into_book(who=owner, enquiry=enquiry, person="Wren Attwater")
    work.may(owner, heron.job.plan, "quote")
    answer = act(at_the_desk, enquiry, "quote")
    draft = QuoteDraft.objects.get()
    assert answer.url == draft.get_absolute_url()
    assert (draft.title, draft.person, draft.options.get().plan) == ("Heron", wren, heron.job.plan)
    act(at_the_desk, asked(None), "quote")
    other = QuoteDraft.objects.order_by("-pk").first()
    assert (other.person, other.options.count()) == (None, 0)


def test_words_of_a_nuisance_are_destroyed_and_those_of_somebody_in_the_book_go_with_them(
    at_the_desk, owner, heron, db
):
    enquiry = asked(heron)
    act(at_the_desk, enquiry, "forget")
    enquiry.refresh_from_db()
    assert (enquiry.name, enquiry.way, enquiry.words, enquiry.state) == ("Somebody", "", "", "aside")
    assert still_standing("Wren Attwater") == {} == still_standing(ASKED["way"])
    assert "destroyed" in at_the_desk.get(reverse("listings:enquiry", args=[enquiry.pk])).content.decode()
    other = asked(heron, words="And this?")
    actions.take_into_book(who=owner, enquiry=other, person="Wren Attwater")
    act(at_the_desk, other, "forget")
    other.refresh_from_db()
    assert other.words == "And this?"


def test_what_somebody_asked_is_told_given_out_and_forgotten_with_them(
    at_the_desk, owner, heron, posted, django_capture_on_commit_callbacks
):
    mine, loose = asked(heron), asked(heron, words="Is it oiled? It is for my mother.")
    wren = actions.take_into_book(who=owner, enquiry=mine, person="Wren Attwater")
    ((key, told),) = loose_rows(wren)
    assert key == f"enquiry {loose.pk}" and "Heron" in told.words
    actions.take_into_book(who=owner, enquiry=loose, person=wren)
    run_waiting_tasks()
    urls = [one.url for one in history_of(wren)]
    assert {reverse("listings:enquiry", args=[one.pk]) for one in (mine, loose)} <= set(urls)
    held = held_of(wren)["enquiries"]["asked"]
    assert [(one["words"], one["about"], one["way"]) for one in held] == [
        (ASKED["words"], "Heron", ASKED["way"]), ("Is it oiled? It is for my mother.", "Heron", ASKED["way"]),
    ]  # fmt: skip
    assert any("2 times" in words for words in would_go(wren))
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(who=owner, person=wren, typed="Wren Attwater")
    assert still_standing("Wren Attwater") == {} == still_standing(ASKED["way"])
    assert not Enquiry.objects.exclude(words="").exists()
    wren.refresh_from_db()
    assert held_of(wren) == {}
    for one in (mine, loose):
        assert "Wren" not in at_the_desk.get(reverse("listings:enquiry", args=[one.pk])).content.decode()


def test_helpers_neither_read_nor_answer(client, heron, db):
    enquiry = asked(heron)
    client.force_login(Member.objects.create_user("joss", password="x"))
    assert client.get(reverse("listings:enquiries")).status_code == 403
    assert client.get(reverse("listings:enquiry", args=[enquiry.pk])).status_code == 403
    assert act(client, enquiry, "answered").status_code == 403
