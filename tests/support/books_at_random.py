"""Books of a shop that never was: pieces, what they cost, sales that came back, fell through or clashed, gifts, losses,
fairs, invoices and credit notes, over three years, written straight into the ledgers."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random
from unittest.mock import patch

from shopapp.jobs.models import Job, JobEvent
from shopapp.listings.models import Channel, Expense, Fair, Piece, PieceCost, PieceEvent, Sale, SaleChange
from shopapp.payments.models import Account, CreditNote, Invoice, Payment
from shopapp.quotes.models import Quote

FIRST, LAST = date(2024, 1, 1), date(2026, 11, 20)
_EURO, _DOLLAR = ("€", 2), ("$", 2)
_KINDS = ("wood", "supplies", "labour", "overhead", "other")


class RandomBooks:
    def __init__(self, seed: int, pieces: int = 40, fairs: bool = True) -> None:
        self.random = Random(seed)
        self.channels = [
            Channel.objects.create(name=f"{name} {seed}", kind=kind)
            for name, kind in (("By hand", "hand"), ("Quay shop", "shop"))
        ]
        self.fairs = [
            Fair.objects.create(
                name=f"Fair {seed}.{n}", first=day, last=day + timedelta(days=2), minutes=n * 217, hour=22
            )
            for n, day in enumerate((date(2024, 12, 30), date(2025, 6, 6), date(2026, 3, 1)))
            if fairs
        ]
        # Where a shop has books already its numbers go on.
        self.numbers: dict[tuple[str, int], int] = {}
        for kind, rows in (("invoice", Invoice), ("credit", CreditNote)):
            self.numbers |= {(kind, row.year): row.number for row in rows.objects.order_by("year", "number")}
        before = Piece.objects.count()
        jobs = [Job.objects.create(label=f"Board {n}", kind="sale", state="finished") for n in range(pieces // 2)]
        for number in range(before + 1, before + pieces + 1):
            self.piece(number, self.random.choice(jobs))
        for fair in self.fairs:
            self.expense("stall", fair.first, fair=fair)
        for n in range(pieces // 2):
            self.invoiced(seed * 1000 + n)

    @classmethod
    def more(cls, seed: int) -> RandomBooks:
        """Beside what is written already, in the same currencies."""
        return cls(seed, pieces=8, fairs=False)

    def day(self, first: date = FIRST, last: date = LAST) -> date:
        return first + timedelta(days=self.random.randrange(max((last - first).days, 0) + 1))

    def soon(self, after: date) -> date:
        """Often on the same day, sometimes over the end of a year."""
        return min(after + timedelta(days=self.random.choice((0, 0, 1, 9, 40, 200))), LAST)

    def money(self, least: int = 1, most: int = 30000) -> Decimal:
        return Decimal(self.random.randrange(least, most)) / 100

    def currency(self) -> dict[str, object]:
        symbol, exponent = self.random.choices((_EURO, _DOLLAR), (6, 1))[0]
        return {"currency_symbol": symbol, "currency_exponent": exponent}

    def piece(self, number: int, job: Job) -> None:
        made = self.day()
        piece = Piece.objects.create(number=number, job=job, title=f"Board {number}", made_on=made)
        self.event(piece, made, "here")
        money = self.currency()
        for kind in self.random.sample(_KINDS, self.random.randrange(0, 6)):
            self.cost(piece, kind, made, money)
        now = self.soon(made)
        for _ in range(self.random.randrange(0, 3)):
            now = getattr(self, self.random.choice(("sold", "sold", "sold", "given", "gone", "clashed", "again")))(
                piece, now
            )
            if now is None:
                break
        if self.random.random() < 0.4:
            self.cost(piece, self.random.choice(_KINDS), self.day(made), money, less=True)

    def cost(self, piece: Piece, kind: str, on: date, money: dict, less: bool = False) -> None:
        amount = self.money(most=9000) * (-1 if less and self.random.random() < 0.5 else 1)
        minutes = self.random.randrange(600) if kind == "labour" else 0
        PieceCost.objects.create(
            piece=piece, kind=kind, name=kind, basis="written", amount=amount, minutes=minutes, on=on, **money
        )

    def event(self, piece: Piece, on: date, where: str, **more: object) -> None:
        PieceEvent.objects.create(piece=piece, where=where, on=on, words=where, plain_words=where, **more)
        Piece.objects.filter(pk=piece.pk).update(where=where)

    def sale(self, piece: Piece, on: date, **more: object) -> Sale:
        price, carriage = self.money(100), self.random.choice((Decimal(0), self.money(most=900)))
        gross = price + carriage
        tax_sum = self.random.choice((Decimal(0), round(gross * 19 / 119, 2)))
        about = {
            "price": price, "carriage": carriage, "gross": gross, "tax_sum": tax_sum, "net": gross - tax_sum,
            "how": self.random.choice(("cash", "card")), "channel": self.random.choice((None, *self.channels)),
            "fair": self.random.choice((None, None, *self.fairs)), **self.currency(),
        }  # fmt: skip
        sale = Sale.objects.create(piece=piece, on=on, tax=Fraction(19, 100), **(about | more))
        for kind in self.random.sample(("fee", "carriage", "packaging"), self.random.randrange(3)):
            self.expense(kind, on, sale=sale)
        return sale

    def expense(self, kind: str, on: date, **of: object) -> None:
        money = self.currency()
        made = Expense.objects.create(kind=kind, on=on, amount=self.money(most=2000), words=kind, **of, **money)
        if self.random.random() < 0.1:
            Expense.objects.create(
                kind=kind, on=self.soon(on), amount=-made.amount, words="taken back", undoes=made, **of, **money
            )

    def back(self, sale: Sale, kind: str, on: date, share: Fraction) -> None:
        back = round(sale.gross * share.numerator / share.denominator, 2)
        tax = round(sale.tax_sum * share.numerator / share.denominator, 2)
        made = SaleChange.objects.create(sale=sale, kind=kind, on=on, back=back, back_tax=min(tax, back))
        if kind == "reduced" and back and self.random.random() < 0.3:
            SaleChange.objects.create(
                sale=sale, kind=kind, on=self.soon(on), back=-made.back, back_tax=-made.back_tax, undoes=made
            )

    def sold(self, piece: Piece, now: date) -> date | None:
        sale = self.sale(piece, now)
        self.event(piece, now, "sold")
        if self.random.random() < 0.3:
            self.back(sale, "reduced", self.soon(now), Fraction(1, 5))
        if self.random.random() < 0.5:
            Piece.objects.filter(pk=piece.pk).update(sale=sale)
            return None
        now = self.soon(now)
        self.back(sale, self.random.choice(("returned", "fell through", "mistake")), now, Fraction(3, 4))
        self.event(piece, now, self.random.choice(("here", "damaged")))
        return self.soon(now)

    def clashed(self, piece: Piece, now: date) -> date | None:
        first = self.sale(piece, now)
        self.event(piece, now, "sold")
        second = self.sale(piece, self.soon(now))
        stands, gives_way = self.random.choice(((first, second), (second, first)))
        Piece.objects.filter(pk=piece.pk).update(sale=stands)
        if self.random.random() < 0.7:
            self.back(gives_way, "gave way", self.soon(second.on), Fraction(1))
        return None

    def given(self, piece: Piece, now: date) -> date | None:
        self.event(piece, now, "given")
        self.event(piece, self.soon(now), "sent")
        return None

    def again(self, piece: Piece, now: date) -> date | None:
        """It went out in the place of another, and mostly arrived."""
        lost = Piece.objects.filter(made_again=None).exclude(pk=piece.pk).order_by("pk").first()
        if lost is None or piece.instead_of is not None:
            return now
        piece.instead_of = lost
        piece.save()
        self.event(piece, now, "given", instead_of=lost)
        self.event(piece, now := self.soon(now), "sent")
        if self.random.random() < 0.7:
            self.event(piece, self.soon(now), "given", instead_of=lost)
            return None
        self.event(piece, now := self.soon(now), "here")
        return now

    def gone(self, piece: Piece, now: date) -> date | None:
        self.event(piece, now, "gone")
        if self.random.random() < 0.7:
            return None
        now = self.soon(now)
        self.event(piece, now, "here")
        return now

    def mended(self, n: int, on: date, money: dict) -> None:
        """A repair by that quote: handed over before or after its invoice, and sometimes not after all."""
        quote = Quote.objects.create(
            pk=n, year=on.year, number=n, for_whom="Robin", title="Work", dated=on, valid_until=on, care="", **money
        )
        job = Job.objects.create(label=f"Work {n}", kind="repair", quote=quote, state="handed over")
        handed = min(max(self.day(on - timedelta(days=30), on + timedelta(days=60)), FIRST), LAST)
        for state in ("finished", "handed over", *self.random.choice(((), ("finished",), ("finished", "handed over")))):
            noon = datetime.combine(handed, time(12), UTC)
            with patch("django.utils.timezone.now", return_value=noon):
                JobEvent.objects.create(job=job, state=state, words=state)
            handed = self.soon(handed)

    def number(self, kind: str, year: int) -> int:
        self.numbers[kind, year] = self.numbers.get((kind, year), 0) + 1
        return self.numbers[kind, year]

    def invoiced(self, n: int) -> None:
        """By hand, of a piece sold on an invoice, or of a quote paid in December and sold in January."""
        key = self.random.choice((f"sale {n}", f"quote {n}", f"piece {n}"))
        money, gross = self.currency(), self.money(2000)
        on = self.random.choice((date(2024, 12, 20), date(2025, 12, 29), self.day()))
        rate = self.random.choice((Fraction(0), Fraction(19, 100)))
        tax = round(gross * 19 / 119, 2) if rate else Decimal(0)
        lines = json.dumps([["Work", 1, str(gross)]])
        account = Account.objects.create(
            key=key, label=f"Work {n}", for_whom="Robin", lines=lines, tax=rate, gross=gross, **money
        )
        invoice = Invoice.objects.create(
            account=account, kind="whole", year=on.year, number=self.number("invoice", on.year), for_whom="Robin",
            dated=on, due=on, net=gross - tax, tax_sum=tax, gross=gross, **money,
        )  # fmt: skip
        if self.random.random() < 0.6:
            part = round(gross * 2 / 5, 2)
            Payment.objects.create(invoice=invoice, on=self.soon(on), amount=part, how="cash")
            Payment.objects.create(invoice=invoice, on=self.soon(on), amount=gross - part, how="transfer")
        elif self.random.random() < 0.5:
            credited, when = round(gross / 3, 2), self.soon(on)
            CreditNote.objects.create(
                invoice=invoice, year=when.year, number=self.number("credit", when.year), for_whom="Robin", dated=when,
                net=credited - round(tax / 3, 2), tax_sum=round(tax / 3, 2), gross=credited, words="A part of it.",
            )  # fmt: skip
        if key.startswith("quote") and self.random.random() < 0.4:
            self.mended(n, on, money)
        elif key.startswith("piece") or (key.startswith("quote") and self.random.random() < 0.8):
            number = Piece.objects.order_by("-number").first().number + 1
            job = Job.objects.create(label=f"Work {n}", kind="commission", state="handed over")
            handed = min(max(self.soon(on), date(on.year + (on.month == 12), 1, 9)), LAST)
            piece = Piece.objects.create(number=number, job=job, title=f"Work {n}", made_on=handed)
            self.event(piece, handed, "here")
            self.cost(piece, "wood", handed, money)
            sale = self.sale(piece, handed, account_key=key, price=gross, gross=gross, net=gross - tax, tax_sum=tax,
                             carriage=Decimal(0), how="invoice", **money)  # fmt: skip
            self.event(piece, handed, "sold")
            Piece.objects.filter(pk=piece.pk).update(sale=sale)
