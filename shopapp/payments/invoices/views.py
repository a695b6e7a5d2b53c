"""An invoice written from what was agreed, one on its page, and a credit note."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key, was_spent
from shopapp.common.documents import pdf_answer
from shopapp.payments.actions import account_of, is_stopped
from shopapp.payments.balances import Balance, balances_of
from shopapp.payments.deals import Deal, deal_of
from shopapp.payments.models import Account, CreditNote, Invoice
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import actions, drafts, readers
from .forms import CreditForm, InvoiceForm


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    """An invoice for what the address names, of the kind it names or the likeliest."""
    asked = request.GET.get("for", "")
    if not asked:
        return redirect("payments:sale")
    owed = _named(asked)
    account = account_of(owed) if isinstance(owed, Deal) else owed
    if request.method == "POST" and was_spent(request.POST.get("form_key", "")):
        messages.info(request, "That invoice was already issued; it is in the book once.")
        return redirect("payments:invoices")
    invoices = balances_of(account.invoices.order_by("pk")) if account.pk else []
    page = {"account": account, "asked": asked}
    try:
        kinds = drafts.kinds_open(account, invoices, stopped=bool(account.pk) and is_stopped(account))
    except drafts.NotNow as error:
        if request.method == "GET":
            return render(request, "payments/new.html", {**page, "why_not": str(error)})
        form = InvoiceForm(request.POST, money=account)
        form.add_error(None, str(error))
        return render(request, "payments/new.html", {**page, "form": form}, status=422)
    kind = request.GET.get("kind", "")
    kind = kind if kind in kinds else kinds[0]
    form = _invoice_form(request, account, kind)
    sums = None
    if request.method == "POST" and request.POST.get("do") == "line":
        form = InvoiceForm(None, money=account, **form.grown())
    elif request.method == "POST" and form.is_valid():
        try:
            sums = drafts.sums_of_draft(account, form.draft(kind), invoices)
            if form.cleaned_data["seen"] == str(sums.gross):
                invoice = actions.issue_invoice(who=request.user, owed=owed, draft=form.draft(kind), spend=form.spend)
                messages.success(request, f"{invoice} is issued, and its paper follows. Nothing in it will change.")
                return redirect(invoice)
            form.add_error(None, "It was reckoned anew. Look at what it comes to below, then issue it.")
        except AlreadySent:
            messages.info(request, "That invoice was already issued; it is in the book once.")
            return redirect("payments:invoices")
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
    elif request.method == "GET":
        sums = _first_sums(account, kind, form, invoices)
    context = {
        **page,
        "form": form,
        "sums": sums,
        "kind": kind,
        "kinds": [(one, Invoice.Kind(one).label) for one in kinds],
        "taken": drafts.taken_off(invoices) if kind == Invoice.Kind.REST else [],
        "held": drafts.tax_is_held(account, kind),
    }
    return render(request, "payments/new.html", context, status=422 if form.errors else 200)


def _named(asked: str) -> Account | Deal:
    """What money is owed for, by its key as addresses write it ("quote-12"), in the book already or not yet."""
    key = asked.replace("-", " ", 1)
    if "\x00" in key or len(key) > 60:
        raise Http404("Nothing is owed under that name.")
    owed = Account.objects.select_related("person").filter(key=key).first() or deal_of(key)
    if owed is None:
        raise Http404("Nothing is owed under that name.")
    return owed


def _invoice_form(request: HttpRequest, account: Account, kind: str) -> InvoiceForm:
    if request.method == "POST":
        return InvoiceForm(request.POST, money=account)
    today = timezone.localdate()
    return InvoiceForm(
        None,
        money=account,
        lines=drafts.first_lines(account, kind),
        initial={
            "for_whom": account.for_whom,
            "address": account.person.address if account.person else "",
            "dated": today,
            "due": today + timedelta(days=drafts.DUE_DAYS),
            "words": workshop_of(request).invoice_words,
        },
    )


def _first_sums(account: Account, kind: str, form: InvoiceForm, invoices: list[Balance]):
    """What the draft comes to as it begins; nothing where that cannot be said."""
    initial = form.initial
    lines = drafts.first_lines(account, kind)
    draft = drafts.Draft(kind, account.for_whom, "", initial["dated"], initial["due"], "", lines)
    try:
        return drafts.sums_of_draft(account, draft, invoices)
    except PlannerError:
        return None


@require_GET
@owner_required
def invoice(request: HttpRequest, pk: int) -> HttpResponse:
    related = ("account", "made_by")
    found = get_object_or_404(Invoice.objects.select_related(*related), pk=pk)
    balance = balances_of([found])[0]
    today = timezone.localdate()
    context = {
        "invoice": found,
        "balance": balance,
        "state": balance.state(today),
        "days_late": balance.days_late(today),
        "view": readers.InvoiceView(found),
        "payments": readers.payments_of(found),
        "credit_notes": list(found.credit_notes.order_by("pk")),
        "taken_by": readers.taken_by(found),
        "story": readers.story_of(found),
        "paper": readers.paper_of(found),
    }
    return render(request, "payments/invoice.html", context)


@require_http_methods(["GET", "POST"])
@owner_required
def credit(request: HttpRequest, pk: int) -> HttpResponse:
    """An invoice that is wrong is cancelled by a credit note, wholly or in part."""
    found = get_object_or_404(Invoice.objects.select_related("account"), pk=pk)
    balance = balances_of([found])[0]
    form = CreditForm(
        request.POST if request.method == "POST" else None,
        invoice=found,
        initial={"amount": balance.asked or None, "dated": timezone.localdate()},
    )
    if request.method == "POST" and form.is_valid():
        try:
            note = actions.credit_invoice(who=request.user, invoice=found, credit=form.credit(), spend=form.spend)
        except AlreadySent:
            messages.info(request, "That was already credited.")
            return redirect(found)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{note} is issued, and its paper follows.")
            return redirect(note)
    context = {"invoice": found, "balance": balance, "form": form, "taken_by": readers.taken_by(found)}
    return render(request, "payments/credit.html", context, status=422 if form.errors else 200)


def _note(credit_pk: int) -> CreditNote:
    return get_object_or_404(CreditNote.objects.select_related("invoice__account", "made_by"), pk=credit_pk)


@require_GET
@owner_required
def credit_note(request: HttpRequest, credit_pk: int) -> HttpResponse:
    note = _note(credit_pk)
    context = {"note": note, "view": readers.CreditView(note), "paper": readers.paper_of(note)}
    return render(request, "payments/credit_note.html", context)


@require_POST
@owner_required
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    return _ask_for_paper(request, get_object_or_404(Invoice, pk=pk))


@require_POST
@owner_required
def credit_paper(request: HttpRequest, credit_pk: int) -> HttpResponse:
    return _ask_for_paper(request, _note(credit_pk))


def _ask_for_paper(request: HttpRequest, row: Invoice | CreditNote) -> HttpResponse:
    try:
        actions.ask_for_paper(who=request.user, row=row, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "The paper was already asked for.")
    return redirect(row)


@require_GET
@owner_required
def paper_state(request: HttpRequest, pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    found = get_object_or_404(Invoice, pk=pk)
    return render(request, "payments/_paper.html", {"invoice": found, "paper": readers.paper_of(found)})


@require_GET
@owner_required
def credit_paper_state(request: HttpRequest, credit_pk: int) -> HttpResponse:
    note = _note(credit_pk)
    return render(request, "payments/_credit_paper.html", {"note": note, "paper": readers.paper_of(note)})


@require_GET
@owner_required
def pdf(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Invoice.objects.select_related("paper__document"), pk=pk)
    stored = getattr(found, "paper", None)
    return pdf_answer(stored and stored.document, f"invoice-{found.reference}.pdf", "This invoice has no paper yet.")


@require_GET
@owner_required
def credit_pdf(request: HttpRequest, credit_pk: int) -> HttpResponse:
    note = get_object_or_404(CreditNote.objects.select_related("paper__document"), pk=credit_pk)
    stored = getattr(note, "paper", None)
    name = f"credit-note-{note.reference}.pdf"
    return pdf_answer(stored and stored.document, name, "This credit note has no paper yet.")
