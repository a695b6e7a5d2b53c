"""The owner's pages: what the shop's page says, how it looks before it is switched on, what of a listing is shown."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.links import is_near, root_of
from shopapp.common.mail import post
from shopapp.listings.models import Listing, PhotoSize, PiecePhoto
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, readers, visitors
from .forms import ShopPageForm, ShowForm


@require_http_methods(["GET", "POST"])
@owner_required
def desk(request: HttpRequest) -> HttpResponse:
    """What the page says, whether it is open, and what is on it."""
    page = readers.shop_page()
    form = ShopPageForm.of(page, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.write_shop_page(
                who=request.user, values=form.cleaned_data, seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect("listings:shop_page")
        except EditConflict as conflict:
            conflict_rows = form.against(ShopPageForm.of(conflict.current))
        else:
            messages.success(request, "The page says so now.")
            return redirect("listings:shop_page")
    root = root_of(request)
    context = {
        "page": page,
        "form": form,
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
        "rows": list(readers.might_be_shown()),
        "address": root + reverse("shop:shop"),
        "near": is_near(root),
        "mail_ready": post().ready and bool(workshop_of(request).mail),
    }
    status = 422 if form.errors else 409 if conflict_rows is not None else 200
    return render(request, "listings/public/desk.html", context, status=status)


@require_POST
@owner_required
def switch(request: HttpRequest) -> HttpResponse:
    on = request.POST.get("on") == "yes"
    try:
        actions.switch(who=request.user, on=on, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "That was done already.")
    else:
        messages.success(request, "The page is open to visitors." if on else "The page is closed. Nobody sees it.")
    return redirect("listings:shop_page")


@require_GET
@owner_required
def preview(request: HttpRequest) -> HttpResponse:
    """The shop's page as visitors would see it."""
    return visitors.shop_page(request, readers.shop_page(), preview=True)


@require_GET
@owner_required
def preview_piece(request: HttpRequest, number: int) -> HttpResponse:
    """A listed piece as visitors would see it, whether it is shown to them or not."""
    found = readers.listings_seen(Listing.objects.filter(piece__number=number)).order_by("-pk").first()
    if found is None:
        raise Http404("No listed piece has that number.")
    return visitors.piece_page(request, readers.shop_page(), found, preview=True)


@require_GET
@owner_required
def photo(request: HttpRequest, picture_pk: int, width: int) -> HttpResponseBase:
    """A photo in one of its sizes, for the owner's own eyes."""
    sizes = PhotoSize.objects.select_related("document").filter(photo__in=PiecePhoto.objects.filter(pk=picture_pk))
    found = get_object_or_404(sizes, width=width)
    return visitors.photo_answer(request, found, "private, no-cache")


@require_http_methods(["GET", "POST"])
@owner_required
def show(request: HttpRequest, pk: int) -> HttpResponse:
    """Whether visitors see a listing, and which of its photos."""
    listing = get_object_or_404(Listing.objects.select_related("piece"), pk=pk)
    photos = list(PiecePhoto.objects.filter(piece=listing.piece, taken_away=False, image__isnull=False))
    form = ShowForm(request.POST if request.method == "POST" else None, listing=listing, photos=photos)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            done = actions.show_listing(
                who=request.user,
                listing=listing,
                public=form.cleaned_data["public"],
                photos=form.shown(),
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            return redirect("listings:shop_page")
        except EditConflict as conflict:
            conflict_rows = form.against(ShowForm(listing=conflict.current, photos=photos))
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            told = "is shown to visitors" if done.public else "is not shown to visitors"
            messages.success(request, f"{done.title} {told}.")
            return redirect("listings:shop_page")
    context = {
        "listing": listing,
        "photos": photos,
        "form": form,
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
        "page": readers.shop_page(),
    }
    status = 422 if form.errors else 409 if conflict_rows is not None else 200
    return render(request, "listings/public/show.html", context, status=status)
