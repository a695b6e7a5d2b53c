"""The pages at the bench; each is asked for by whoever wants boards cut, at an address of its own (``Wanted.to``:
"cut_doing", and "cut_back" with a board's mark)."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.numbers import whole_number
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.permissions import owner_only
from shopapp.plans.cutting.actions import RackMoved, ask_for_plan
from shopapp.plans.cutting.asmade.readers import on_sheet
from shopapp.plans.cutting.readers import shop_of
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutEntry
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import OffcutsForm


def doing(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """GET shows how far a kept cut plan has come and writes nothing; POST does one thing: starts it, ticks a cut,
    undoes an entry, or asks for a new plan where the rack has changed."""
    if request.method == "GET":
        return _page(request, cutting)
    found = readers.doing_of(cutting, workshop_of(request))
    if found is None:
        return _page(request, cutting)
    do = request.POST.get("do", "")
    try:
        return _done(request, cutting, found, do)
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
    except actions.DoneMeanwhile as error:
        messages.info(request, str(error))
    except RackMoved as error:
        return _page(request, cutting, list(error.marks.values()), status=409)
    except StockMoved as error:
        return _page(request, cutting, [str(error)], status=409)
    except PlannerError as error:
        return _page(request, cutting, [str(error)], status=422)
    return redirect(cutting.to("cut_doing"))


def _done(request: HttpRequest, cutting: Cutting, found: readers.Doing, do: str) -> HttpResponse:
    """``do`` is what the pressed button says: "start", "ask", "undo:17", "cut:W1:2", or "cut:W1:0" for all of W1."""
    here, sheet = cutting.to("cut_doing"), found.sheet
    if number_in(request.POST.get("sheet", "")) != sheet.pk:
        raise actions.DoneMeanwhile("Another cut plan was kept meanwhile.", mend="Here is the one that counts now.")
    given = {"who": request.user, "cutting": cutting, "spend": lambda: spend_key(request.POST.get("form_key", ""))}
    act, *about = do.split(":")
    if act == "start":
        messages.success(request, actions.start(sheet=sheet, **given).words)
        return redirect(here)
    if act == "cut" and len(about) == 2:
        entries = actions.report(sheet=sheet, board=about[0][:12], rough=number_in(about[1]) or None, **given)
        return redirect(_row(here, entries[-1]))
    if act == "undo" and len(about) == 1:
        entry = get_object_or_404(CutEntry, pk=number_in(about[0]), sheet=sheet)
        undone = actions.undo(sheet=sheet, entry=entry, **given)
        if entry.kind == CutEntry.Kind.CUT:
            return redirect(_row(here, entry))
        messages.success(request, undone.words)
        return redirect(here)
    if act == "ask":
        owner_only(request.user)
        ask_for_plan(wishes=sheet.wishes, **given)
        return redirect(cutting.here)
    raise PlannerError("Nothing was named to be done.", mend="Choose it from the page.")


def _row(here: str, entry: CutEntry) -> str:
    """Back to where the thumb was."""
    return f"{here}#r-{entry.board}-{entry.rough}"


def number_in(text: str) -> int:
    return whole_number(text) or 0


def _page(request: HttpRequest, cutting: Cutting, said: list[str] | None = None, status: int = 200) -> HttpResponse:
    workshop = workshop_of(request)
    found = readers.doing_of(cutting, workshop)
    context = {
        "cutting": cutting,
        "here": cutting.to("cut_doing"),
        "said": [{"message": words} for words in said or []],
        "doing": found,
        "unlike": cutting.unlike() if found else None,
        "boards": [(one, cutting.to("cut_back", one.board.mark)) for one in found.boards] if found else [],
        "money_shop": shop_of(workshop, found.sheet) if found else workshop,
        "sheet_url": cutting.to("cut_sheet", found.sheet.pk) if found else "",
        "gauged": on_sheet(cutting, found.sheet, workshop).followed if found else None,
        "as_made_url": cutting.to("cut_as_made", found.sheet.pk) if found else "",
    }
    return render(request, "plans/cutting/doing/doing.html", context, status=status)


def back(request: HttpRequest, cutting: Cutting, mark: str) -> HttpResponse:
    """The offcuts of one board: those the plan keeps stand ready to be confirmed."""
    workshop = workshop_of(request)
    found = readers.doing_of(cutting, workshop)
    board = next((one for one in found.boards if one.board.mark == mark), None) if found else None
    if board is None or not board.out:
        raise Http404("No board of that mark is out for this cut plan.")
    sent = request.POST if request.method == "POST" else None
    form = OffcutsForm(sent, piece=board.piece, planned=board.waiting, shop=workshop)
    status = 200
    if sent is not None and form.is_valid():
        try:
            entry, made = actions.bring_back(
                who=request.user,
                cutting=cutting,
                sheet=found.sheet,
                board=mark,
                back=form.backs(),
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That came back already; here is how it stands.")
            return redirect(f"{cutting.to('cut_doing')}#b-{mark}")
        except actions.DoneMeanwhile as error:
            messages.info(request, str(error))
            return redirect(f"{cutting.to('cut_doing')}#b-{mark}")
        except StockMoved as error:
            form.data = {**form.data.dict(), "edit_version": str(board.piece.edit_version)}
            form.add_error(None, str(error))
            status = 409
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            chalk = f" Chalk {', '.join(piece.mark for piece in made)} on what came back." if made else ""
            messages.success(request, entry.words + chalk)
            return redirect(f"{cutting.to('cut_doing')}#b-{mark}")
    context = {
        "cutting": cutting,
        "here": cutting.to("cut_doing"),
        "now": board,
        "wood": woods_seen()[board.board.wood],
        "form": form,
    }
    status = 422 if form.errors and status == 200 else status
    return render(request, "plans/cutting/doing/back.html", context, status=status)
