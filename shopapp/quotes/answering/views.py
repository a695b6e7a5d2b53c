"""The maker's side of a quote on its way: links, letters, questions."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common import links
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.mail import post
from shopapp.common.models import PrivateLink
from shopapp.people.permissions import owner_required
from shopapp.quotes.models import Quote

from . import actions, letters, readers
from .forms import AnswerForm, LetterForm, LinkForm


def panel_of(request: HttpRequest, quote: Quote, state: str) -> dict[str, object]:
    """What the quote's own page shows of it (quotes/answering/_panel.html). Seven queries at most."""
    may_go = state in readers.OPEN and not quote.is_past(timezone.localdate())
    said, to = readers.said_about(quote), readers.address_known(quote)
    return {
        "quote": quote,
        "may_go": may_go,
        "unsent": state == readers.Kind.MADE,
        "post": post(),
        "links": readers.links_of(quote),
        "letters": readers.letters_about(quote),
        "said": said,
        "asked": readers.waits_for_an_answer(said),
        "link_form": _link_form(quote) if may_go else None,
        "letter_form": _letter_form(quote, to) if may_go and post().ready else None,
        "answer_form": _answer_form(to, actions.may_be_answered(quote, state)) if said else None,
        "answer": readers.answer_to(quote),
        "near": links.is_near(links.root_of(request)),
    }


def _link_form(quote: Quote, data=None) -> LinkForm:
    return LinkForm(data, auto_id="link_%s", initial={"until": quote.valid_until})


def _letter_form(quote: Quote, to: str, data=None) -> LetterForm:
    return LetterForm(data, auto_id="letter_%s", initial={"to": to, "words": letters.first_words(quote)})


def _answer_form(to: str, by_mail: bool, data=None) -> AnswerForm:
    return AnswerForm(data, by_mail=post().ready and by_mail, auto_id="answer_%s", initial={"to": to})


@require_http_methods(["GET", "POST"])
@owner_required
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """A link is made by POST and shown in the answer to it, once: it is kept nowhere it could be read again."""
    quote = get_object_or_404(Quote, pk=pk)
    form = _link_form(quote, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            made, token = actions.make_link(
                who=request.user, quote=quote, until=form.cleaned_data["until"], spend=form.spend
            )
        except AlreadySent:
            messages.info(request, "That link was made already and is shown once only. Make another if it was lost.")
            return redirect(quote)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            root = links.root_of(request)
            address, last_day = letters.address(root, token), links.last_day(made)
            shown = {"quote": quote, "last_day": last_day, "address": address, "near": links.is_near(root)}
            answer = render(request, "quotes/answering/made.html", shown)
            answer.headers["Referrer-Policy"] = "no-referrer"
            return answer
    context = {"quote": quote, "form": form, "near": links.is_near(links.root_of(request))}
    return render(request, "quotes/answering/link.html", context, status=422 if form.errors else 200)


@require_POST
@owner_required
def revoke(request: HttpRequest, pk: int, link_pk: int) -> HttpResponse:
    quote = get_object_or_404(Quote, pk=pk)
    found = get_object_or_404(PrivateLink, pk=link_pk, subject=readers.subject_of(quote))
    try:
        done = actions.revoke_link(
            who=request.user, quote=quote, link=found, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        done = False
    messages.info(request, "That link opens nothing any more." if done else "That link was revoked before.")
    return redirect(quote)


@require_http_methods(["GET", "POST"])
@owner_required
def send(request: HttpRequest, pk: int) -> HttpResponse:
    """The quote goes out by e-mail; the worker sends it."""
    quote = get_object_or_404(Quote, pk=pk)
    form = _letter_form(quote, readers.address_known(quote), request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.ask_to_send(
                who=request.user,
                quote=quote,
                to=form.cleaned_data["to"],
                words=form.cleaned_data["words"],
                root=links.root_of(request),
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That letter is on its way already.")
            return redirect(quote)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"The letter to {form.cleaned_data['to']} is on its way.")
            return redirect(quote)
    context = {"quote": quote, "form": form, "post": post(), "near": links.is_near(links.root_of(request))}
    return render(request, "quotes/answering/send.html", context, status=422 if form.errors else 200)


@require_GET
@owner_required
def sent(request: HttpRequest, pk: int) -> HttpResponse:
    """What the page that waits for a letter asks; it never starts anything."""
    quote = get_object_or_404(Quote, pk=pk)
    return render(request, "quotes/answering/_letters.html", {"quote": quote, "letters": readers.letters_about(quote)})


@require_http_methods(["GET", "POST"])
@owner_required
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """What was asked at the link is answered."""
    quote = get_object_or_404(Quote, pk=pk)
    by_mail = actions.may_be_answered(quote, readers.state_of(quote))
    form = _answer_form(readers.address_known(quote), by_mail, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            _, letter = actions.answer_question(
                who=request.user,
                quote=quote,
                words=form.cleaned_data["words"],
                to=form.cleaned_data.get("to", ""),
                root=links.root_of(request),
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That answer is written down already.")
            return redirect(quote)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            by_mail = f", and goes to {letter.to}" if letter else ""
            messages.success(request, f"Your answer stands at the link{by_mail}.")
            return redirect(quote)
    context = {"quote": quote, "form": form, "said": readers.said_about(quote)}
    return render(request, "quotes/answering/answer.html", context, status=422 if form.errors else 200)
