"""The demo: Reedbank Workshop, two people beside a tidal creek. Every figure here is invented."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.grid.actions import keep_corrected
from shopapp.designs.grid.readers import corrected, sources
from shopapp.designs.models import Design
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.woods.actions import keep_pattern
from shopapp.designs.woods.readers import wood_choices
from shopapp.jobs.binding import binding_of_job
from shopapp.jobs.models import Job
from shopapp.lumber.actions import add_wood
from shopapp.lumber.buying.actions import add_supplier
from shopapp.lumber.models import StockPiece, Supplier
from shopapp.lumber.planning import WOODS, hex_of
from shopapp.lumber.stock.actions import Size, set_piece_aside, split_piece
from shopapp.lumber.stock.buying import BoughtLine, DeliveryFacts, book_delivery
from shopapp.lumber.supplies.actions import add_supply, buy_supply, use_supply
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.models import Plan, ShopBook
from shopapp.workshop.actions import change_settings
from shopapp.workshop.models import Workshop

from .demo_bench import fill_bench
from .demo_colours import fill_colours
from .demo_cutting import fill_cutting
from .demo_evenings import fill_evenings
from .demo_fairs import fill_fairs
from .demo_log import fill_log
from .demo_money import fill_money
from .demo_people import fill_people
from .demo_pictures import PICTURES, picture_png
from .demo_pieces import fill_pieces
from .demo_quotes import fill_quotes
from .demo_shorts import fill_shorts
from .demo_visitors import fill_visitors
from .demo_work import fill_work

# Wood, price of a board foot, rough thickness in quarters of an inch, width in mm, mark.
WOODS_ON_HAND = (
    ("sycamore", "7.20", 5, 160, "two bars"),
    ("birch-yellow", "8.40", 5, 150, "rise"),
    ("beech", "6.10", 5, 150, "gable"),
    ("sapele", "9.80", 5, 170, "step"),
    ("walnut-black", "16.50", 5, 140, "ring"),
    ("padauk", "21.00", 5, 130, "crossing"),
)
# What was bought last: wood, thickness in quarters, width and length in mm, boards alike, price of a board foot, place.
BOARDS = (
    ("walnut-black", 5, 142, 2440, 2, "15.80", "rack 1"),
    ("walnut-black", 4, 165, 1830, 1, "15.80", "rack 1"),
    ("padauk", 5, 131, 1980, 1, "20.40", "rack 1"),
    ("sapele", 5, 172, 2440, 2, "9.40", "rack 2"),
    ("sapele", 8, 158, 1220, 1, "9.90", "rack 2"),
    ("sycamore", 5, 160, 2130, 2, "7.00", "rack 2"),
    ("birch-yellow", 5, 148, 2440, 1, "8.10", "loft"),
    ("beech", 5, 152, 2740, 2, "5.90", "loft"),
)
FEES = tuple(
    {
        "place": place,
        "name": name,
        "percent": Fraction(percent, 100),
        "fixed": Decimal(fixed),
        "on_carriage": on_carriage,
        "on_tax": False,
    }
    for place, (name, percent, fixed, on_carriage) in enumerate(
        [("market stall", 6, "0", False), ("card reader", 2, "0.25", True)]
    )
)


# Name, kind, unit, time to buy below, bought, for how much in all, used since.
SUPPLIES = (
    ("White wood glue", "glue", "g", 500, 2500, "31.00", 640),
    ("Abrasive discs, grit 120", "abrasive", "piece", 20, 50, "24.50", 36),
    ("Hard oil", "finish", "ml", 250, 1000, "38.00", 180),
)


# What stands on its papers; the number is of those kept for drama, which ring nowhere.
LETTERHEAD = {
    "name": "Reedbank Workshop",
    "address": "Slip Lane 4\nReedbank",
    "mail": "boards@reedbank.example",
    "phone": "01632 960 104",
    "pay_to": "Saltmarsh Savings, Reedbank Workshop, account 0000 1234",
}


def fill(who: Member) -> None:
    """Settings, six woods with samples of two, a delivery on the rack, glue and oil, three designs with their patterns,
    a kept plan with its paper, two jobs with wood reserved for them, a cut plan, a box of shorts that gives a
    second plan, two invoices, and five finished pieces."""
    workshop = change_settings(
        who=who,
        title="The demo's settings",
        changes={"hour": Decimal(22), "overhead_hour": Decimal("3.20"), "wood_in": "bf", **LETTERHEAD},
        fees=FEES,
        seen_version=0,
    )
    workshop = fill_bench(who, workshop)
    for wood_id, price, quarters, width, mark in WOODS_ON_HAND:
        wood = WOODS[wood_id]
        add_wood(
            who=who,
            values={
                "wood": wood_id,
                "name": wood.name,
                "price": Decimal(price),
                "per": "bf",
                "rough_thickness": Length.of_inches(f"{quarters}/4"),
                "rough_width": Length.of_mm(width),
                "finished_rgb": hex_of(wood.finished_rgb),
                "mark": mark,
            },
        )
    fill_colours(who)
    _buy_boards(who)
    _buy_supplies(who)
    for name, drawing in PICTURES.items():
        bring_picture(who=who, name=name, upload=SimpleUploadedFile(f"{name}.png", picture_png(drawing)), rights="own")
    run_waiting_tasks()
    for design in Design.objects.order_by("pk"):
        _keep_pattern(who, design)
    fill_people(who)
    fill_work(who, _keep_plan(who, workshop))
    fill_cutting(who)
    # After the work, so that nothing of the box is reserved for it.
    fill_shorts(who, workshop)
    fill_log(who)
    fill_evenings(who)
    fill_quotes(who)
    fill_money(who)
    fill_pieces(who)
    fill_fairs(who)
    fill_visitors(who)
    commission = Job.objects.filter(kind=Job.Kind.COMMISSION).earliest("pk")
    ask_for_book(who=who, binding=binding_of_job(commission.pk), paper=ShopBook.Paper.A4)


def _buy_boards(who: Member) -> None:
    """A dozen boards from a yard that counts whole square feet; one crosscut since, one set aside."""
    yard = add_supplier(
        who=who,
        values={"name": "Saltmarsh Sawyers", "rule": Supplier.Rule.SURFACE, "thin_as_inch": True, "tax": Fraction(0)},
    )
    lines = [
        BoughtLine(
            wood=wood,
            thickness=Length.of_inches(f"{quarters}/4"),
            width=Length.of_mm(width),
            length=Length.of_mm(length),
            count=count,
            price=Decimal(price),
            per="bf",
            place=place,
            facts={"moisture": Decimal("9.5")},
        )
        for wood, quarters, width, length, count, price, place in BOARDS
    ]
    facts = DeliveryFacts(yard, timezone.localdate() - timedelta(days=9), reference="417", carriage=Decimal("18.00"))
    book_delivery(who=who, facts=facts, lines=lines)
    board = StockPiece.objects.filter(wood="sapele").order_by("pk").first()
    parts = [Size(board.thickness, board.width, Length.of_mm(length)) for length in (1400, 1030)]
    split_piece(who=who, piece=board, parts=parts)
    beech = StockPiece.objects.filter(wood="beech").order_by("pk").first()
    set_piece_aside(who=who, piece=beech, reason="still wet at the heart")


def _buy_supplies(who: Member) -> None:
    """Glue, abrasives and oil, some of them used since."""
    today = timezone.localdate()
    for name, kind, unit, low, bought, cost, used in SUPPLIES:
        row = add_supply(who=who, values={"name": name, "kind": kind, "unit": unit, "low": Decimal(low)})
        buy_supply(who=who, supply=row, amount=Decimal(bought), cost=Decimal(cost), on=today - timedelta(days=20))
        use_supply(who=who, supply=row, amount=Decimal(used), on=today - timedelta(days=3))


def _keep_pattern(who: Member, design: Design) -> None:
    keep_corrected(who=who, now=corrected(sources(design), ""), seen_version=design.edit_version)
    design.refresh_from_db()
    choices = wood_choices(design)
    keep_pattern(who=who, design=design, choices=choices.suggestion, margin=1, grid_png=choices.grid_png)


def _keep_plan(who: Member, workshop: Workshop) -> Plan:
    design = Design.objects.get(name="Lantern on the jetty")
    board = {
        "use": "wall",
        "pitch": Length.of_mm(17),
        "thickness": Length.of_mm(20),
        "side_border": Length.of_mm(51),
        "end_border": Length.of_mm(34),
        "border_wood": "sycamore",
        "method": "runs",
        "quantity": 1,
        "margin": Fraction(1, 5),
    }
    return keep_plan(who=who, version=design.versions.get(), board=board, workshop=workshop)
