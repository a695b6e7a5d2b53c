"""The pages behind a private link. Nobody signs in here: whoever has the token may do what stands on the page, and
what opens nothing is one plain page, whatever the reason. A GET changes nothing, not even a counter."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, is_key, was_spent
from shopapp.common.documents import pdf_answer
from shopapp.common.numbers import whole_number
from shopapp.common.throttle import allow, client_address
from shopapp.jobs import actions as jobs
from shopapp.plans.preview.planning import on_a_page, tones_of_record
from shopapp.quotes.actions import QuoteMoved
from shopapp.quotes.answering import actions, readers
from shopapp.quotes.answering.forms import AcceptForm, AskForm, DeclineForm
from shopapp.quotes.answering.letters import day
from shopapp.quotes.models import QuotePaper
from shopapp.workshop.readers import the_workshop

from .readers import accepted, on_screen

# Longer than all that the page's fields may hold together, in any writing.
LONGEST_POST = 32 * 1024
WIDTHS = (480, 960)
_CHANGED = "It was changed or answered while this page was open. Here it is as it is now; nothing was recorded."
_NOT_WHOLE = "What was sent was not whole. Here is the page anew: send it once more."
_TOO_LONG = "That was longer than this page takes. Write it shorter."
_TOO_OFTEN = "That was a little much at once. Wait some minutes, then send it again; it still stands here."


def behind_a_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open to whoever has the address, which is told to nobody else: no other site, no search, no copy between.

    There is no sign-in that a foreign page could misuse, so the framework's token against forgery has nothing to guard;
    who could send a form here knows the private token already. Browsers leave "Origin" empty besides on pages that tell
    no other site where they are.
    """

    @csrf_exempt
    @login_not_required
    @wraps(view)
    def private(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        response = view(request, *args, **kwargs)
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
        response.headers.setdefault("Cache-Control", "private, no-store")
        return response

    return private


def nothing() -> HttpResponse:
    """The same bytes for every link that opens nothing."""
    return HttpResponse(render_to_string("jobs/offered/nothing.html"), status=404)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def nowhere(request: HttpRequest, rest: str) -> HttpResponse:
    return nothing()


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def offer(request: HttpRequest, token: str) -> HttpResponse:
    opened = readers.opened(token)
    if opened is None:
        return nothing()
    if request.method != "POST":
        return _page(token, opened)
    if _length(request) > LONGEST_POST:
        return _page(token, opened, said=_TOO_LONG, status=413)
    do = _DO.get(request.POST.get("do", ""))
    if do is None or not is_key(request.POST.get("form_key", "")):
        return _page(token, opened, said=_NOT_WHOLE, status=422)
    if not opened.is_open:
        # A button pressed twice on a slow line is no second answer.
        if was_spent(request.POST["form_key"]):
            return redirect("offered:offer", token)
        return _page(token, opened, said=_stands(opened), status=409)
    return do(request, token, opened)


def _length(request: HttpRequest) -> int:
    """In bytes, as the request says; nothing is read by it."""
    said = whole_number(request.headers.get("Content-Length") or "0")
    return LONGEST_POST + 1 if said is None else said


def _accept(request: HttpRequest, token: str, opened: readers.Opened) -> HttpResponse:
    options = opened.options()
    form = _accept_form(opened, request.POST)
    if not form.is_valid():
        return _page(token, opened, accept=form, status=422)
    typed = form.cleaned_data
    option = next(one for one in options if str(one.place) == typed["option"])
    return _done(
        token,
        lambda: jobs.accept_quote(
            who=None,
            quote=opened.quote,
            option=option,
            label=opened.quote.title,
            name=typed["name"],
            link=opened.link,
            seen=typed["seen"],
            spend=form.spend,
        ),
        accept=form,
    )


def _decline(request: HttpRequest, token: str, opened: readers.Opened) -> HttpResponse:
    form = DeclineForm(request.POST)
    if not form.is_valid():
        return _page(token, opened, decline=form, status=422)
    typed = form.cleaned_data
    return _done(
        token,
        lambda: actions.decline(
            quote=opened.quote,
            link=opened.link,
            name=typed["name"],
            reason=typed["reason"],
            seen=typed["seen"],
            spend=form.spend,
        ),
        decline=form,
    )


def _ask(request: HttpRequest, token: str, opened: readers.Opened) -> HttpResponse:
    form = AskForm(request.POST)
    if not form.is_valid():
        return _page(token, opened, ask=form, status=422)
    # A few at once, then one in ten minutes: of a link, and of whoever writes by several.
    for key in (f"question by link {opened.link.pk}", f"question from {client_address(request)}"):
        if not allow(key, capacity=4, refill_seconds=600):
            return _page(token, opened, ask=form, said=_TOO_OFTEN, status=429)
    return _done(
        token,
        lambda: actions.ask(quote=opened.quote, link=opened.link, words=form.cleaned_data["words"], spend=form.spend),
        ask=form,
    )


_DO = {"accept": _accept, "decline": _decline, "ask": _ask}


def _done(token: str, act: Callable[[], object], **form: object) -> HttpResponse:
    """Do it and go to the page as it stands then; what is sent twice is done once and gets the same page."""
    try:
        act()
    except AlreadySent:
        pass
    except actions.LinkClosed:
        return nothing()
    except (QuoteMoved, actions.ShownChanged):
        now = readers.opened(token)
        return nothing() if now is None else _page(token, now, said=_CHANGED, status=409)
    except PlannerError as error:
        now = readers.opened(token)
        return nothing() if now is None else _page(token, now, said=str(error), status=422, **form)
    return redirect("offered:offer", token)


def _stands(opened: readers.Opened) -> str:
    answer = opened.answer
    how = "accepted" if opened.state == readers.Kind.ACCEPTED else "declined"
    by = f" by {answer.name} on {day(answer.on)}" if answer else ""
    return f"This was {how}{by} already, and that stands. Nothing was changed. If it is not right, call the shop."


def _accept_form(opened: readers.Opened, data=None) -> AcceptForm:
    choices = [(str(one["place"]), one["label"]) for one in opened.shown["options"]]
    return AcceptForm(data, choices=choices, initial={"seen": actions.hash_of(opened.shown)})


def _page(token: str, opened: readers.Opened, *, said: str = "", status: int = 200, **forms: object) -> HttpResponse:
    """The page, rendered without the request: it knows nobody's name, sets no cookie, and is the same for everybody."""
    shop = the_workshop()
    context = {
        "token": token,
        "shop": shop,
        "quote": opened.quote,
        "shown": opened.shown,
        "answer": opened.answer if not opened.is_open else None,
        "said_first": said,
    }
    if opened.is_open:
        seen = {"seen": actions.hash_of(opened.shown)}
        words = readers.said_about(opened.quote)
        context |= {
            "options": [on_screen(one) for one in opened.shown["options"]],
            # Boards at one price are asked once.
            "asks": list(dict.fromkeys(one["gross"] for one in opened.shown["options"])),
            "accept": forms.get("accept") or _accept_form(opened),
            "decline": forms.get("decline") or DeclineForm(initial=seen),
            "ask": forms.get("ask") or AskForm(),
            "words": words,
            "waits": readers.waits_for_an_answer(words),
            "paper": QuotePaper.objects.filter(quote=opened.quote, document__isnull=False).exists(),
        }
        template = "jobs/offered/open.html"
    elif opened.state == readers.Kind.ACCEPTED and opened.answer:
        context |= {"accepted": accepted(opened, shop), "words": readers.said_about(opened.quote)}
        template = "jobs/offered/accepted.html"
    else:
        template = "jobs/offered/declined.html"
    return HttpResponse(render_to_string(template, context), status=status)


@behind_a_link
@require_GET
def picture(request: HttpRequest, token: str, place: int) -> HttpResponse:
    """The board of one option in real grain, drawn from the kept record. Its bytes never change, so a phone keeps it
    for a day and asks no more."""
    opened = readers.opened(token)
    option = next((one for one in opened.options() if one.place == place), None) if opened else None
    if option is None:
        return nothing()
    width = WIDTHS[1] if request.GET.get("width") == str(WIDTHS[1]) else WIDTHS[0]
    tag = f'"{hashlib.sha256(f"{option.plan.sha256} {width}".encode()).hexdigest()[:32]}"'
    if request.headers.get("If-None-Match") == tag:
        response: HttpResponse = HttpResponseNotModified()
    else:
        record = option.plan.record
        response = HttpResponse(on_a_page(record, tones_of_record(record), width), content_type="image/jpeg")
    response.headers["ETag"] = tag
    response.headers["Cache-Control"] = "private, max-age=86400"
    return response


@behind_a_link
@require_GET
def pdf(request: HttpRequest, token: str) -> HttpResponse:
    opened = readers.opened(token)
    if opened is None:
        return nothing()
    paper = QuotePaper.objects.select_related("document").filter(quote=opened.quote, document__isnull=False).first()
    if paper is None:
        return nothing()
    response = pdf_answer(paper.document, f"quote-{opened.quote.reference}.pdf", "")
    response.headers["Cache-Control"] = "private, no-store"
    return response
