"""Whatever is sent to whichever field of whichever form: words in answer, never a fault, and the shop still opens."""

from __future__ import annotations

import html
import re
import secrets
from urllib.parse import urlencode

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse

from shopapp.lumber.counting.actions import begin_stocktake
from shopapp.lumber.rack.forms import FORMS
from shopapp.lumber.supplies.forms import FORMS as SUPPLY_FORMS
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.workshop.gluing.kinds import KINDS
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.fairs import fair
from tests.support.log import a_log
from tests.support.money import a_ledger
from tests.support.people import somebody
from tests.support.pieces import a_trade
from tests.support.rack import boards, glue
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.shop import add_woods, board, design_with_pattern, typed_board
from tests.support.week import a_week, on_the_wall
from tests.support.wood_photos import photo_to_tap

ODD = ["", " ", "x", "-1", "0", "1e309", "1" + "0" * 30, "NaN", "a\x00b", "٣", "🪵", '<b>&"', "x" * 5000, "1/3"]
# What is not refused at every field goes alone into each that takes it, for a large number may be read here and not
# kept there. Fields that refuse it by themselves do so all in one answer: none masks another.
NEARLY_RIGHT = ["999999999", "1/3", "a\x00b"]
# Words of the framework's own, and words we do not use.
NOT_OURS = re.compile(
    r"This field is required|Enter a|Select a valid|Ensure this|Null characters|[Pp]lease|[Ii]nvalid|[Oo]ops"
    r"|uccessfully|No file was submitted|two password fields|too similar to|Bad Request|password is too"
)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def shop(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    photo = photo_to_tap(owner, "padauk").pk
    piece, out = boards(owner, 2)
    job = work.move(owner, work.job(owner, plan), "under way", "finished")
    work.give(owner, job, "take", out)
    given = {
        "quote": work.quote(owner, plan),
        "draft": work.draft(owner, plan),
        "job": job,
        "out": out,
        "listing": work.listing(owner, job),
    }
    given["trade"] = a_trade(owner, given["listing"])
    a_rack(owner)
    sheet, given["sawn"] = sawn(owner, cutting_of(job))
    given["cut_sheet"] = sheet.pk
    given["fair"] = fair(owner).pk
    given |= {"supply": glue(owner), "stocktake": begin_stocktake(who=owner).pk}
    given |= a_week(owner) | on_the_wall(owner)
    given |= a_log(owner, plan, job) | {"money": a_ledger(owner)}
    given["person"] = somebody("Tam Sedge", way="tam@quay.example")
    return {"design": design.pk, "plan": plan.pk, "photo": photo, "piece": piece, **given}


def pages_with_forms(client, shop) -> list[str]:
    sections = client.get(reverse("workshop:settings")).context["sections"]
    return [
        *(reverse("workshop:section", args=[section.key]) for section in sections),
        reverse("workshop:add_material", args=["jigs"]),
        *(reverse("workshop:material", args=[kind.slug, kind.model.objects.get().pk]) for kind in KINDS),
        reverse("schedule:add_session"),
        reverse("schedule:session", args=[shop["session_pk"]]),
        reverse("schedule:add_exception"),
        reverse("schedule:exception", args=[shop["exception_pk"]]),
        reverse("lumber:add"),
        reverse("lumber:wood", args=["padauk"]),
        reverse("lumber:colour", args=["padauk"]),
        reverse("lumber:colour_photo", args=["padauk", shop["photo"]]),
        reverse("lumber:colour_by_eye", args=["padauk"]),
        reverse("lumber:add_supplier"),
        reverse("lumber:supplier", args=[shop["piece"].lot.delivery.supplier_id]),
        reverse("lumber:buy"),
        reverse("lumber:buy_table"),
        reverse("lumber:stocktakes"),
        reverse("lumber:labels"),
        reverse("lumber:short"),
        reverse("lumber:stocktake_piece", args=[shop["stocktake"], shop["piece"].mark]),
        reverse("lumber:stocktake_close", args=[shop["stocktake"]]),
        reverse("lumber:add_supply"),
        reverse("lumber:change_supply", args=[shop["supply"].pk]),
        reverse("designs:bring"),
        reverse("designs:whose", args=[shop["design"]]),
        reverse("designs:grid", args=[shop["design"]]),
        reverse("designs:reduce", args=[shop["design"]]),
        reverse("designs:blank"),
        reverse("designs:pattern_in"),
        reverse("designs:bench", args=[shop["design"]]),
        reverse("designs:woods", args=[shop["design"]]),
        reverse("plans:reckoning", args=[shop["design"]]),
        reverse("quotes:begin"),
        reverse("quotes:new", args=[shop["plan"]]),
        reverse("payments:sale"),
        f"{reverse('payments:new')}?for={shop['money']['asks_for']}",
        reverse("payments:pay", args=[shop["money"]["payments"]]),
        reverse("payments:give_back", args=[shop["money"]["payments"]]),
        reverse("payments:credit", args=[shop["money"]["payments"]]),
        reverse("quotes:draft", args=[shop["draft"].pk]),
        reverse("quotes:link", args=[shop["quote"].pk]),
        reverse("quotes:send", args=[shop["quote"].pk]),
        reverse("quotes:answer", args=[shop["quote"].pk]),
        f"{reverse('listings:cards', args=['care'])}?piece={shop['listing'].piece_id}",
        f"{reverse('listings:cards', args=['tags'])}?piece={shop['listing'].piece_id}",
        reverse("listings:card_words"),
        reverse("listings:fair_new"),
        reverse("listings:fair_change", args=[shop["fair"]]),
        reverse("jobs:new"),
        reverse("jobs:change", args=[shop["job"].pk]),
        reverse("jobs:accept", args=[shop["quote"].pk]),
        reverse("jobs:wood", args=[shop["job"].pk]),
        reverse("jobs:spoiled", args=[shop["job"].pk]),
        reverse("jobs:back", args=[shop["job"].pk, shop["out"].mark]),
        reverse("plans:book", args=[shop["plan"]]),
        reverse("plans:cut", args=[shop["plan"]]),
        reverse("plans:time", args=[shop["plan"]]),
        reverse("plans:timetable", args=[shop["plan"]]),
        reverse("jobs:cut_back", args=[shop["job"].pk, shop["sawn"]]),
        reverse("jobs:cut_as_made", args=[shop["job"].pk, shop["cut_sheet"]]),
        reverse("listings:new", args=[shop["job"].pk]),
        reverse("listings:change", args=[shop["listing"].pk]),
        reverse("listings:show", args=[shop["listing"].pk]),
        reverse("listings:shop_page"),
        reverse("listings:number", args=[shop["job"].pk]),
        reverse("listings:photos", args=[shop["listing"].piece_id]),
        reverse("listings:channel_new"),
        reverse("books:begins"),
        reverse("listings:channel_change", args=[shop["trade"]["channel_pk"]]),
        reverse("listings:pack", args=[shop["listing"].piece_id]),
        reverse("listings:parcel_change", args=[shop["trade"]["parcel_pk"]]),
        reverse("people:password"),
        reverse("people:new"),
        reverse("people:change", args=[shop["person"].pk]),
        reverse("people:erase", args=[shop["person"].pk]),
        reverse("people:new_member"),
    ]


def as_shown(form) -> dict[str, str]:
    """The form of a page as a browser would send it back untouched."""
    typed = {}
    for bound in form:
        value = bound.field.prepare_value(bound.value())
        if isinstance(bound.field, forms.BooleanField):
            typed |= {bound.name: "on"} if value else {}
        elif not isinstance(bound.field, forms.FileField):
            typed[bound.name] = "" if value is None else str(value)
    return {**typed, "form_key": secrets.token_urlsafe(24)}


def form_of(client, page: str):
    return client.get(page).context["form"]


def send(client, page: str, form, typed: dict):
    """As a browser would: in parts only where the form takes files."""
    if form.is_multipart():
        return client.post(page, typed)
    return client.post(page, urlencode(typed, doseq=True), content_type="application/x-www-form-urlencoded")


def tellingly(form, typed: dict, odd: str) -> list[tuple[str, ...]]:
    """The names of a form's fields as ``odd`` is to be sent in them: together those that refuse it by themselves,
    whatever stands in the others; each of the rest alone."""
    refused, taken = [], []
    for name, field in form.fields.items():
        try:
            field.clean(field.widget.value_from_datadict({**typed, name: odd}, {}, name))
            taken.append((name,))
        except ValidationError:
            refused.append(name)
    return [tuple(refused)] * bool(refused) + taken


def faults(answer) -> list[str]:
    """What is wrong with an answer, if anything."""
    if answer.status_code >= 500:
        return [f"answered {answer.status_code}"]
    body = "" if answer.streaming else answer.content.decode()
    words = html.unescape(re.sub(r"<script.*?</script>|<[^>]+>", " ", body, flags=re.S))
    found = [f"says “{words[max(0, m.start() - 40) : m.end() + 40].strip()}”" for m in NOT_OURS.finditer(words)]
    if answer.status_code == 422 and "error-summary" not in body:
        found.append("refuses without a word")
    return found


@pytest.fixture
def tell_not_raise(owner_client):
    owner_client.raise_request_exception = False
    return owner_client


def test_odd_input_in_every_field_at_once_is_answered_in_words(tell_not_raise, shop):
    found = []
    for page in pages_with_forms(tell_not_raise, shop):
        form = form_of(tell_not_raise, page)
        for odd in ODD:
            typed = dict.fromkeys(form.fields, odd) | {"form_key": secrets.token_urlsafe(24)}
            found += [(page, odd[:20], words) for words in faults(send(tell_not_raise, page, form, typed))]
    assert not found


def test_what_is_nearly_right_in_one_field_breaks_neither_this_page_nor_the_next(tell_not_raise, shop):
    found = []
    for page in pages_with_forms(tell_not_raise, shop):
        form, kept = form_of(tell_not_raise, page), False
        typed = as_shown(form)
        for odd in NEARLY_RIGHT:
            for names in tellingly(form, typed, odd):
                answer = send(tell_not_raise, page, form, {**typed, **dict.fromkeys(names, odd)})
                if answer.status_code == 302:
                    form, kept = form_of(tell_not_raise, page), True
                    typed = as_shown(form)
                found += [(page, names, odd, words) for words in faults(answer)]
        if not kept:
            # Where all was refused the next page is as it was.
            continue
        for after in (reverse("home:start"), reverse("plans:reckoning", args=[shop["design"]])):
            found += [(page, after, words) for words in faults(tell_not_raise.get(after))]
    assert not found


def test_a_form_without_its_fields_or_of_another_kind_is_refused_in_words(tell_not_raise, shop):
    found = []
    for page in pages_with_forms(tell_not_raise, shop):
        answers = [tell_not_raise.post(page, {})]
        for kind in ("application/json", "text/plain", "multipart/form-data", "multipart/form-data; boundary=x"):
            answers.append(tell_not_raise.generic("POST", page, b"\xff\xfe{garbage", content_type=kind))
        for answer in answers:
            if answer.status_code not in (400, 422):
                found.append((page, answer.status_code))
            found += [(page, words) for words in faults(answer)]
        form = form_of(tell_not_raise, page)
        typed = as_shown(form)
        for names in tellingly(form, typed, "x"):
            twice = {name: [typed[name], "x"] for name in names if name in typed}
            if twice:
                key = {"form_key": secrets.token_urlsafe(24)}
                found += [
                    (page, names, "twice", words)
                    for words in faults(send(tell_not_raise, page, form, {**typed, **key, **twice}))
                ]
    assert not found


_NAMES = [
    *typed_board(), "least", "longest", "every", "place", "mark", "free", "page", "colour_0", "colour_99", "wood",
    "next", "card_x", "tap.x", "piece", "state", "finish", "show", "year", "words", "tick", "for", "waste", "unknown",
    "asks", "laid", "ask", "friends", "find", "as", "person", "name",
]  # fmt: skip
_ODD_WORDS = ("1e309", "a\x00b", '<b>&"', "x" * 5000)


@pytest.mark.parametrize("headers", [{}, {"HTTP_HX_REQUEST": "true"}], ids=["page", "part of a page"])
def test_addresses_with_nonsense_in_them_are_answered_in_words(tell_not_raise, shop, headers):
    found = []

    def first_template(page, **headers):
        return [template.name for template in tell_not_raise.get(page, **headers).templates][:1]

    pages = (
        reverse("plans:reckoning", args=[shop["design"]]),
        reverse("lumber:add"),
        reverse("lumber:colour", args=["padauk"]),
        reverse("lumber:colour_photo", args=["padauk", shop["photo"]]),
        reverse("lumber:colour_swatch", args=["padauk", shop["photo"]]),
        reverse("lumber:rack"),
        reverse("jobs:wood", args=[shop["job"].pk]),
        reverse("jobs:buying"),
        reverse("jobs:cut_doing", args=[shop["job"].pk]),
        reverse("quotes:quotes"),
        reverse("payments:invoices"),
        reverse("payments:new"),
        reverse("quotes:add", args=[shop["draft"].pk]),
        reverse("quotes:at_price", args=[shop["draft"].pk, shop["draft"].options.get().pk]),
        reverse("plans:shorts"),
        reverse("people:sign_in"),
        reverse("people:people"),
        reverse("people:choose"),
        reverse("people:new"),
    )
    if headers:
        # Most pages answer a part's request as any other: those are asked as pages alone.
        pages = [page for page in pages if first_template(page) != first_template(page, **headers)]
        assert pages
    for at, page in enumerate(pages):
        # Each name alone with one of the odd values, another on each page; and every name with the same one at once.
        alone = [({**typed_board(), name: _ODD_WORDS[(at + n) % 4]}, name) for n, name in enumerate(_NAMES)]
        together = [(dict.fromkeys(_NAMES, odd), odd[:20]) for odd in _ODD_WORDS]
        for asked, about in (*alone, *together):
            answer = tell_not_raise.get(page, asked, **headers)
            body = answer.content.decode()
            if answer.status_code >= 500 or NOT_OURS.search(html.unescape(re.sub(r"<[^>]+>", " ", body))):
                found.append((page, about, answer.status_code))
    assert not found


def test_numbers_no_row_has_are_not_found(tell_not_raise, shop):
    for page in (
        "/designs/%00/", "/woods/%00/", "/workshop/%F0%9F%AA%B5/", "/%ff%fe", f"/designs/{'9' * 30}/",
        f"/plans/{'9' * 30}/", f"/plans/reckon/{'9' * 30}/", f"/pictures/{'9' * 30}.png",
    ):  # fmt: skip
        assert tell_not_raise.get(page).status_code == 404, page


def test_what_the_bench_asks_meanwhile_is_answered_in_words_whatever_is_sent(tell_not_raise, shop):
    found = []
    for name in ("designs:bench_hints", "designs:bench_keep", "plans:bench_reckoning"):
        page = reverse(name, args=[shop["design"]])
        for odd in [*ODD, "201 beech", "1 beech\n" * 201, "1 -", "200 beech\n" * 200, "1 unknown-wood", "[" * 90_000]:
            answer = tell_not_raise.post(page, {"pattern": odd, "name": odd, "parent": odd, "form_key": odd})
            if answer.status_code not in (200, 422):
                found.append((name, odd[:20], answer.status_code))
            found += [(name, odd[:20], words) for words in faults(answer) if words != "refuses without a word"]
            if answer.status_code == 422 and not answer.json()["words"]:
                found.append((name, odd[:20], "refuses without a word"))
        for answer in (tell_not_raise.post(page), tell_not_raise.generic("POST", page, b"{", "application/json")):
            if answer.status_code not in (200, 422):
                found.append((name, answer.status_code))
    assert not found


def test_a_drawing_is_named_or_the_page_says_why_not(tell_not_raise, shop):
    page = reverse("designs:rename", args=[shop["design"], 1])
    found = []
    for odd in ODD:
        answer = tell_not_raise.post(page, {"name": odd, "was": odd, "form_key": secrets.token_urlsafe(24)})
        found += [(odd[:20], words) for words in faults(answer)]
    found += [("nothing", words) for words in faults(tell_not_raise.post(page))]
    assert not found


def test_buttons_sent_with_nonsense_do_nothing_odd(tell_not_raise, shop):
    for page in (
        reverse("designs:set_aside", args=[shop["design"]]),
        reverse("lumber:on_hand", args=["padauk"]),
        reverse("lumber:undo_delivery", args=[shop["piece"].lot.delivery_id]),
        reverse("lumber:piece_undo", args=[shop["piece"].mark]),
        reverse("lumber:supply_undo", args=[shop["supply"].pk]),
        reverse("lumber:stocktake_undo", args=[shop["stocktake"]]),
        reverse("schedule:remove_session", args=[shop["session_pk"]]),
        reverse("schedule:remove_exception", args=[shop["exception_pk"]]),
        reverse("lumber:stocktake_uncount", args=[shop["stocktake"], shop["piece"].mark]),
        reverse("plans:time_back", args=[shop["plan"], shop["plan_entry"]]),
        reverse("schedule:use_log", args=["crosscut"]),
        reverse("payments:call_off", args=[shop["money"]["account_pk"]]),
    ):
        for odd in ODD:
            answer = tell_not_raise.post(
                page, {"form_key": odd, "aside": odd, "on_hand": odd, "entry": odd, "kind": odd, "state": odd}
            )
            assert answer.status_code == 302, (page, odd)


def test_whatever_is_sent_to_a_pieces_forms_is_answered_in_words_and_the_rack_still_opens(tell_not_raise, shop):
    found = []
    for act, form in FORMS.items():
        page = reverse("lumber:piece_act", args=[shop["piece"].mark, act])
        names = list(form(piece=shop["piece"], shop=the_workshop()).fields)
        for odd in dict.fromkeys([*ODD, *NEARLY_RIGHT]):
            keys = {"form_key": secrets.token_urlsafe(24), "edit_version": "1"}
            for typed in (dict.fromkeys(names, odd), dict.fromkeys(names, odd) | keys):
                found += [(act, odd[:20], words) for words in faults(tell_not_raise.post(page, typed))]
        found += [(act, "nothing", words) for words in faults(tell_not_raise.post(page))]
    for act, form in SUPPLY_FORMS.items():
        page = reverse("lumber:supply_act", args=[shop["supply"].pk, act])
        names = list(form(supply=shop["supply"], shop=the_workshop()).fields)
        for odd in dict.fromkeys([*ODD, *NEARLY_RIGHT]):
            key = {"form_key": secrets.token_urlsafe(24)}
            for typed in (dict.fromkeys(names, odd), dict.fromkeys(names, odd) | key):
                found += [(act, odd[:20], words) for words in faults(tell_not_raise.post(page, typed))]
        found += [(act, "nothing", words) for words in faults(tell_not_raise.post(page))]
    for page in (reverse("lumber:rack"), reverse("lumber:piece", args=[shop["piece"].mark])):
        found += [(page, words) for words in faults(tell_not_raise.get(page))]
    assert not found
