"""The page where wood is chosen and taken, and the one where it comes back; each is asked for by whoever wants it, at
an address of its own."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.lumber.looks import wood_choices, woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.workshop.readers import workshop_of

from . import readers
from .actions import InTheWay, Tick, do_with_ticked, read_ticks
from .forms import BackForm, NarrowForm
from .wanted import Wanted

_DONE = {"reserve": "reserved", "release": "free again", "take": "taken", "whole": "back whole"}


def choose(request: HttpRequest, wanted: Wanted) -> HttpResponse:
    """GET shows what is reserved, out and free, and writes nothing; POST does one thing with all that is ticked."""
    do = request.POST.get("do", "") if request.method == "POST" else ""
    texts = (request.POST if request.method == "POST" else request.GET).getlist("tick")
    try:
        ticks = read_ticks(texts)
    except PlannerError as error:
        return _page(request, wanted, [], [str(error)], status=422)
    if request.method == "GET":
        return _page(request, wanted, ticks)
    if do == "show":
        # Another narrowing keeps what was ticked, and has an address of its own.
        asked = [(name, text[:40]) for name in ("wood", "least") if (text := request.POST.get(name, ""))]
        return redirect(f"{wanted.here}?{urlencode([*asked, *(('tick', tick.text) for tick in ticks)])}")
    if do not in _DONE:
        return _page(request, wanted, ticks, ["Nothing was named to be done. Choose it from the page."], status=422)
    try:
        entry = do_with_ticked(
            who=request.user,
            wanted=wanted,
            do=do,
            ticks=ticks,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
        return redirect(wanted.here)
    except InTheWay as error:
        left = [tick for tick in ticks if tick.pk not in error.marks]
        said = [*error.marks.values(), "Nothing was changed; whatever else was ticked still is."]
        return _page(request, wanted, left, said, status=409)
    except PlannerError as error:
        return _page(request, wanted, ticks, [str(error)], status=422)
    messages.success(request, entry.words)
    return redirect(wanted.here)


def _page(
    request: HttpRequest, wanted: Wanted, ticks: list[Tick], said: list[str] | None = None, status: int = 200
) -> HttpResponse:
    shop, seen = workshop_of(request), woods_seen()
    typed = request.POST if request.method == "POST" else request.GET
    form = NarrowForm(
        {"wood": typed.get("wood", ""), "least": typed.get("least", "")},
        shop=shop,
        woods=wood_choices(seen),
        some=bool(wanted.needs),
    )
    form.is_valid()
    demand = readers.demand_of(wanted.key)
    promised = readers.promised_to(demand)
    free = readers.to_choose(form.cleaned_data, wanted.needs, demand, [tick.pk for tick in ticks])
    context = {
        "wanted": wanted,
        "form": form,
        "said": [{"message": words} for words in said or []],
        "ticked": {tick.pk for tick in ticks},
        "reserved": readers.of_woods(promised.reserved, seen),
        "outs": [(out, wanted.bring_back(out.piece.mark)) for out in promised.out],
        "needs": readers.woods_wanted(wanted.needs, promised, seen),
        "free": readers.of_woods(free.free, seen),
        "more": free.more,
        "others": [(piece, seen[piece.wood].name) for piece in free.others],
        "narrowed": bool(typed.get("wood") or typed.get("least")),
    }
    return render(request, "lumber/promising/choose.html", context, status=422 if form.errors else status)


def bring_back(request: HttpRequest, wanted: Wanted, mark: str) -> HttpResponse:
    """What is left of a piece comes back measured, or the piece comes back whole."""
    related = ("demand", "lot")
    piece = get_object_or_404(
        StockPiece.objects.select_related(*related), mark=mark, demand__key=wanted.key, state=StockPiece.State.TAKEN
    )
    back = readers.promised_to(piece.demand)
    out = next(one for one in back.out if one.piece.pk == piece.pk)
    whole = request.method == "POST" and request.POST.get("do") == "whole"
    form = BackForm(request.POST if request.method == "POST" else None, piece=piece, shop=workshop_of(request))
    status = 200
    # Coming back whole needs nothing measured; what stands in the fields is not looked at.
    if request.method == "POST" and (form.is_valid() or whole):
        stands, piece.edit_version = piece.edit_version, form.seen_version
        try:
            if whole:
                promises.bring_back_whole(who=request.user, piece=piece, spend=lambda: _whole(form, wanted, mark))
                messages.success(request, f"{piece.mark} is back on the rack, whole.")
            else:
                made = promises.bring_back(who=request.user, piece=piece, offcuts=form.parts(), spend=form.spend)
                messages.success(request, f"Chalk {_listed([part.mark for part in made])} on what came back.")
            return redirect(wanted.here)
        except AlreadySent:
            messages.info(request, "That came back already; here is how it stands.")
            return redirect(wanted.here)
        except StockMoved as error:
            form.data = {**form.data.dict(), "edit_version": str(stands)}
            _say(form, str(error))
            status = 409
        except PlannerError as error:
            _say(form, str(error))
    context = {
        "wanted": wanted,
        "piece": piece,
        "out": out,
        "wood": woods_seen()[piece.wood],
        "form": form,
    }
    return render(
        request, "lumber/promising/back.html", context, status=422 if form.errors and status == 200 else status
    )


def _whole(form: BackForm, wanted: Wanted, mark: str) -> None:
    form.spend()
    if words := wanted.not_whole(mark):
        raise PlannerError(words)


def _say(form: BackForm, words: str) -> None:
    """What stands in the way of the whole, with nothing said of single fields."""
    form.errors.clear()
    form.add_error(None, words)


def _listed(marks: list[str]) -> str:
    return " and ".join([", ".join(marks[:-1])] * (len(marks) > 1) + [marks[-1]])
