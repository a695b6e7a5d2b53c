"""The form on the shop's page in the hands of programs and of people who mean no good: heads of letters, bodies of
megabytes, many at once, scripts, signs that cannot be seen."""

from __future__ import annotations

from datetime import timedelta
from email import message_from_bytes, policy

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from shopapp.common import throttle
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.enquiries.words import seen
from shopapp.listings.models import Enquiry
from shopapp.listings.public import visitors as views
from tests.support.visitors import ASKED, MAKER, asked, piece_page


def ask(listing, *, address: str = "10.0.0.1", **changes):
    return Client(REMOTE_ADDR=address).post(piece_page(listing), {**ASKED, **changes})


LINES = ("\r\nBcc: all@example.org", "\nBcc: all@example.org", "\rSubject: x", "%0d%0aBcc: all@example.org",
         "\u2028Bcc: all@example.org", "\x0bBcc: all@example.org", "\r\n\r\n<html>")  # fmt: skip


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("field", ["name", "way", "words"])
def test_no_line_of_a_head_can_be_written_from_outside(db, heron, posted, line, field):
    assert ask(heron, **{field: f"wren@boathouse.example{line}"}).status_code == 303
    run_waiting_tasks()
    (letter,) = posted
    told = message_from_bytes(letter.message().as_bytes(), policy=policy.default)
    assert letter.recipients() == [MAKER] and told["To"] == MAKER
    assert {name.lower() for name in told} <= {
        "content-type", "mime-version", "content-transfer-encoding", "subject", "from", "to", "reply-to", "date",
        "message-id",
    }  # fmt: skip
    assert told["Subject"] == f"A question about No. {heron.piece.number}, Heron"
    assert told.get_content_type() == "text/plain"


def test_a_body_longer_than_the_form_is_refused_before_it_is_read(db, heron):
    long = ask(heron, words="x" * views.LONGEST_POST)
    assert long.status_code == 413 and "longer than this page takes" in long.content.decode()
    said_long = Client().generic(
        "POST", piece_page(heron), b"name=x", "application/x-www-form-urlencoded", CONTENT_LENGTH="99999999999"
    )
    assert said_long.status_code == 413
    odd = Client().generic(
        "POST", piece_page(heron), b"name=x", "application/x-www-form-urlencoded", CONTENT_LENGTH="9" * 400
    )
    assert odd.status_code == 413
    assert not Enquiry.objects.exists()


def test_a_file_of_megabytes_is_not_stored(db, heron, settings):
    from django.core.files.uploadedfile import SimpleUploadedFile

    file = SimpleUploadedFile("x.png", b"\x89PNG" + b"x" * 3_000_000)
    assert Client().post(piece_page(heron), {**ASKED, "name": file}).status_code == 413
    assert not settings.FILES.exists() or not list(settings.FILES.rglob("*.raw"))


@pytest.mark.parametrize(("field", "most"), [("name", 80), ("way", 254), ("words", 2000)])
def test_each_field_has_its_length_and_keeps_what_was_typed(db, heron, field, most):
    answer = ask(heron, **{field: "x" * (most + 1)})
    body = answer.content.decode()
    assert answer.status_code == 422 and f"Write at most {most}" in body and "x" * (most + 1) in body
    assert 'id="error-summary"' in body and not Enquiry.objects.exists()
    assert ask(heron, **{field: "x" * most}).status_code == 303


def test_many_at_once_from_one_address_are_stopped_and_somebody_else_is_not(db, heron):
    answers = [ask(heron, words=f"Question {n}") for n in range(7)]
    assert [answer.status_code for answer in answers] == [303] * 4 + [429] * 3
    assert "Question 6" in answers[-1].content.decode() and "Wait some minutes" in answers[-1].content.decode()
    assert Enquiry.objects.count() == 4
    assert ask(heron, address="10.0.0.2").status_code == 303


def test_many_from_many_addresses_are_stopped_all_together_and_later_taken_again(db, heron, monkeypatch):
    taken = [ask(heron, address=f"10.0.{n}.1", words=f"Question {n}").status_code for n in range(44)]
    assert taken == [303] * 40 + [429] * 4
    now = throttle.timezone.now()
    monkeypatch.setattr(throttle.timezone, "now", lambda: now + timedelta(minutes=10))
    assert ask(heron, address="10.1.0.1", words="Later").status_code == 303


def test_a_head_that_says_another_address_makes_nobody_another(db, heron):
    codes = [
        Client(REMOTE_ADDR="10.0.0.1")
        .post(piece_page(heron), {**ASKED, "words": f"{n}"}, headers={"X-Forwarded-For": f"8.8.8.{n}"})
        .status_code
        for n in range(6)
    ]
    assert codes == [303] * 4 + [429] * 2


def test_a_program_that_fills_in_everything_is_told_and_a_person_s_browser_that_did_it_too_loses_nothing(db, heron):
    answer = ask(heron, website="https://spam.example")
    body = answer.content.decode()
    assert answer.status_code == 422 and not Enquiry.objects.exists()
    assert "to be left empty" in body and ASKED["words"] in body and 'class="nobody"' not in body
    assert ask(heron).status_code == 303


def test_a_form_on_another_site_is_turned_away(db, heron):
    for site, code in (("cross-site", 403), ("same-origin", 303), ("none", 303)):
        answer = Client().post(piece_page(heron), {**ASKED, "words": site}, headers={"Sec-Fetch-Site": site})
        assert answer.status_code == code, site


def test_neither_a_session_nor_the_token_against_forgery_is_asked_for(db, heron, owner):
    careful = Client(enforce_csrf_checks=True)
    careful.force_login(owner)
    answer = careful.post(piece_page(heron), ASKED)
    assert answer.status_code == 303 and not answer.cookies


def test_what_is_no_form_is_answered_in_words(db, heron):
    for kind, body in (
        ("application/json", b'{"name": "x"}'), ("text/plain", b"\xff\xfe"), ("multipart/form-data", b"x"),
        ("multipart/form-data; boundary=x", b"--x\r\n\xff"), ("", b""),
        ("application/x-www-form-urlencoded", b"%ff=%00&words=%00"),
    ):  # fmt: skip
        answer = Client().generic("POST", piece_page(heron), body, content_type=kind)
        assert answer.status_code in (400, 422), kind
    many = "&".join(f"f{n}=x" for n in range(2000)).encode()
    answer = Client().generic("POST", piece_page(heron), many, content_type="application/x-www-form-urlencoded")
    assert answer.status_code == 400
    assert not Enquiry.objects.exists()


SCRIPTS = ("<script>alert(1)</script>", "</textarea><img src=x onerror=alert(1)>", "{{ 7|add:7 }}{% load static %}",
           "javascript:alert(1)", "'\"><svg onload=alert(1)>")  # fmt: skip


@pytest.mark.parametrize("script", SCRIPTS)
def test_a_script_in_words_is_words_to_the_owner_and_to_whoever_wrote_it(client, owner, heron, db, script):
    client.force_login(owner)
    enquiry = asked(heron, name=script[:80], way=script, words=script)
    back = ask(heron, words=script, name="")
    pages = [
        client.get(reverse("listings:enquiries")), client.get(reverse("listings:enquiry", args=[enquiry.pk])), back,
    ]  # fmt: skip
    for page in pages:
        body = page.content.decode()
        assert "<img src=x" not in body and "<svg onload" not in body and "alert(1)</script>" not in body
        assert ('href="javascript' not in body and "{{ 7" in body) or "{{" not in script


def test_a_way_becomes_a_link_only_where_it_is_one(client, owner, heron, db):
    client.force_login(owner)
    for way, link in (
        ("wren@boathouse.example", "mailto:wren@boathouse.example?subject="), ("+44 1632 960104", "tel:+441632960104"),
        ("javascript:alert(1)", ""), ("wren@x.example?bcc=all@example.org", ""), ("data:text/html,x", ""),
    ):  # fmt: skip
        enquiry = asked(heron, way=way, words=way)
        body = client.get(reverse("listings:enquiry", args=[enquiry.pk])).content.decode()
        about = body[body.index("To be answered") : body.index("To be answered") + 200]
        assert (f'href="{link}' in about) if link else ("href" not in about.split("</p>")[0]), way


def test_signs_that_cannot_be_seen_turn_no_name_round_and_hide_nothing(db, heron):
    tricks = {
        "\u202eneverw": "neverw",
        "Wren\u200b\u2060\ufeff Attwater": "Wren Attwater",
        "W\u0301\u0301\u0301\u0301\u0301r": None,
        "Wren\u2066\u2069": "Wren",
        "Zoe\u0308": "Zo\u00eb",
        "\U000e0041Ash": "Ash",
        "A\x00sh\x1b[31m": "Ash[31m",
    }
    for n, (typed, kept) in enumerate(tricks.items()):
        assert ask(heron, address=f"10.0.0.{n}", name=typed, words=f"{n}").status_code == 303
        name = Enquiry.objects.get(words=str(n)).name
        assert name == kept if kept else len(name) <= 5
    for nothing in ("\u200b\u200b", "\u202e", " \u00a0 ", "\x00"):
        assert ask(heron, address="10.0.9.9", name=nothing).status_code == 422


def test_letters_of_every_script_and_signs_made_of_several_stay(db):
    for text in ("Łucja Żółć", "نُورا", "นภา", "मीरा", "👩\u200d👧", "می\u200cروم", "Zoë O’Hara"):
        assert seen(text) == text


@given(st.text(max_size=60))
def test_what_is_made_fit_to_be_seen_is_one_line_and_stays_so(text):
    made = seen(text)
    assert made == seen(made) and "\n" not in made and made == " ".join(made.split())
    lines = seen(text, lines=True)
    assert lines == seen(lines, lines=True) and "\r" not in lines
