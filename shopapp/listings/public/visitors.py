"""The pages everybody may open. They know no session, set no cookie, and are the same for all who look; a GET writes
nothing, not even a counter."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.http.response import HttpResponseBase
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from shopapp.common.files import file_answer
from shopapp.common.links import root_of
from shopapp.common.numbers import whole_number
from shopapp.common.throttle import allow, client_address
from shopapp.listings.enquiries.actions import Asked, take_enquiry
from shopapp.listings.enquiries.forms import EnquiryForm
from shopapp.listings.models import Listing, ShopPage
from shopapp.workshop.readers import the_workshop

from . import readers
from .sizes import JPEG

# Longer than all that the form's fields may hold together, in any writing.
LONGEST_POST = 32 * 1024
# A page may be a minute old, a photo an hour; then both are asked for anew, and come only if they changed.
PAGE_KEPT, PHOTO_KEPT = "public, max-age=60", "public, max-age=3600"
_TOO_LONG = "That was longer than this page takes. Write it shorter."
_TOO_OFTEN = "That was a little much at once. Wait some minutes, then send it again; it still stands here."
_TOO_MANY = "Very many write just now. Wait some minutes, then send it again; it still stands here."
_NOT_FROM_HERE = "That was sent from another site. Write it here, then send it."
_NOT_TAKEN = "Questions are not taken here just now. Nothing was sent."


def open_to_all(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Nobody signs in here, so the framework's token against forgery has nothing to guard: a form sent by another
    site's page does no more than whoever made that page could do by themselves. What such a page could do is send in
    the name of many visitors past the limit of each; browsers say where a form comes from, and that is looked at."""

    @csrf_exempt
    @login_not_required
    @wraps(view)
    def public(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponseBase:
        return view(request, *args, **kwargs)

    return public


def gone(status: int = 404) -> HttpResponse:
    """The same for all that is not shown, whether it is there or not; 410 for what visitors could see before."""
    body = render_to_string("listings/public/nowhere.html", {"was_here": status == 410})
    return HttpResponse(body, status=status, headers={"Cache-Control": "no-store", "X-Robots-Tag": "noindex"})


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def nowhere(request: HttpRequest, rest: str) -> HttpResponse:
    return gone()


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def shop(request: HttpRequest) -> HttpResponse:
    page = readers.shop_page()
    if not page.on:
        return gone()
    if request.method == "POST":
        return _ask(request, page, None, lambda form, said, status: shop_page(request, page, form, said, status))
    return shop_page(request, page)


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def piece(request: HttpRequest, number: int) -> HttpResponse:
    page = readers.shop_page()
    listing = readers.listing_of(number) if page.on else None
    if listing is None:
        return gone()
    if listing.state == Listing.State.WITHDRAWN:
        return gone(410)
    if request.method == "POST":
        return _ask(
            request, page, listing, lambda form, said, status: piece_page(request, page, listing, form, said, status)
        )
    return piece_page(request, page, listing)


@open_to_all
@require_safe
def asked(request: HttpRequest) -> HttpResponse:
    page = readers.shop_page()
    if not page.on:
        return gone()
    return _answer(request, "listings/public/asked.html", {"page": page, "shop": the_workshop()})


@open_to_all
@require_safe
def photo(request: HttpRequest, number: int, picture_pk: int, width: int) -> HttpResponseBase:
    """A photo in one of its sizes, of a public piece alone; any other is not there."""
    found = readers.size_of_photo(number, picture_pk, width) if readers.shop_page().on else None
    return gone() if found is None else photo_answer(request, found, PHOTO_KEPT)


def photo_answer(request: HttpRequest, found, kept: str) -> HttpResponseBase:
    tag = f'"{found.document.sha256}"'
    known = request.headers.get("If-None-Match") == tag
    response = HttpResponseNotModified() if known else file_answer(found.document.name, JPEG)
    response.headers["ETag"], response.headers["Cache-Control"] = tag, kept
    return response


def shop_page(
    request: HttpRequest, page: ShopPage, form: EnquiryForm | None = None, said: str = "", status: int = 200,
    *, preview: bool = False,
) -> HttpResponse:  # fmt: skip
    """The shop's page; four queries, whatever is for sale."""
    workshop = the_workshop()
    part = Paginator(readers.listings_seen(readers.for_sale()), readers.A_PAGE).get_page(request.GET.get("page"))
    context = {
        "part": part,
        "pieces": [readers.seen(listing, page, workshop) for listing in part.object_list],
        "name": page.title or workshop.name,
        "words": _one_line(page.words) or "Finished boards of wood, each made once.",
        "canonical": root_of(request) + reverse("shop:shop") + (f"?page={part.number}" if part.number > 1 else ""),
    }
    return _page(request, "listings/public/shop.html", context, page, workshop, form, said, status, preview)


def piece_page(
    request: HttpRequest, page: ShopPage, listing: Listing, form: EnquiryForm | None = None, said: str = "",
    status: int = 200, *, preview: bool = False,
) -> HttpResponse:  # fmt: skip
    workshop = the_workshop()
    piece = readers.seen(listing, page, workshop)
    context = {
        "piece": piece,
        "name": listing.title,
        "words": _one_line(listing.words) or listing.title,
        "canonical": root_of(request) + reverse("shop:piece", args=[piece.number]),
    }
    return _page(request, "listings/public/piece.html", context, page, workshop, form, said, status, preview)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _page(request, template, context, page, workshop, form, said, status, preview) -> HttpResponse:
    more = {
        "root": root_of(request),
        "page": page,
        "shop": workshop,
        "form": (form or EnquiryForm()) if page.takes_enquiries else None,
        "said_first": said,
        "preview": preview,
    }
    return _answer(request, template, {**context, **more}, status, preview=preview)


def _answer(
    request: HttpRequest, template: str, context: dict, status: int = 200, *, preview: bool = False
) -> HttpResponse:
    """A page rendered without the request: it knows nobody's name, and is the same for everybody."""
    response = HttpResponse(render_to_string(template, context), status=status)
    if preview or request.method == "POST":
        response.headers["Cache-Control"] = "private, no-store"
        return response
    tag = f'"{hashlib.sha256(response.content).hexdigest()[:32]}"'
    if request.headers.get("If-None-Match") == tag:
        response = HttpResponseNotModified()
    response.headers["ETag"], response.headers["Cache-Control"] = tag, PAGE_KEPT
    return response


def _ask(request: HttpRequest, page: ShopPage, listing: Listing | None, again: Callable[..., HttpResponse]):
    """Take what a visitor asks. The size is looked at before anything of it is read."""
    length = whole_number(request.headers.get("Content-Length") or "0")
    if length is None or length > LONGEST_POST:
        return again(None, _TOO_LONG, 413)
    if not page.takes_enquiries:
        return again(None, _NOT_TAKEN, 403)
    if request.headers.get("Sec-Fetch-Site", "same-origin") == "cross-site":
        return again(None, _NOT_FROM_HERE, 403)
    form = EnquiryForm(request.POST)
    if not form.is_valid():
        return again(form, "", 422)
    # A few at once and then one in ten minutes from one address; forty at once and then one in three minutes from all.
    if not allow(f"enquiry from {client_address(request)}", capacity=4, refill_seconds=600):
        return again(form, _TOO_OFTEN, 429)
    if not allow("enquiries", capacity=40, refill_seconds=180):
        return again(form, _TOO_MANY, 429)
    typed = form.cleaned_data
    take_enquiry(asked=Asked(typed["name"], typed["way"], typed["words"]), listing=listing, root=root_of(request))
    # By 303, so that a page loaded anew asks nothing twice.
    return HttpResponse(status=303, headers={"Location": reverse("shop:asked"), "Cache-Control": "no-store"})
