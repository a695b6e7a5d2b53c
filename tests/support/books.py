"""Kept plans to bind a shop book of: a picture of any size, the rack it is cut from, its evenings."""

from __future__ import annotations

from planner.measures import Length
from planner.pattern import Pattern
from shopapp.common.documents import store_document
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import WoodOnHand
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.cutting.doors import cutting_of
from shopapp.plans.models import BuildSheet, Plan, ShopBook
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.schedule.actions import add_sessions
from shopapp.schedule.models import ShopSession
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import RowJig
from shopapp.workshop.readers import the_workshop
from tests.support import evenings, sawing
from tests.support.rack import boards
from tests.support.shop import add_woods, board

WOODS = ("sycamore", "walnut-black", "birch-yellow", "padauk", "sapele", "beech")


def a_lamp(side: int) -> Pattern:
    """A lamp with rays on a ground, ``side`` squares each way, in five woods; no two rows are quite alike."""
    middle, rows = (side - 1) / 2, []
    for y in range(side):
        row: list[str | None] = []
        for x in range(side):
            across, down = abs(x - middle) / side, y / side
            if down > 0.82:
                wood = "walnut-black" if across < 0.3 - (down - 0.82) / 2 else None
            elif down > 0.25 and across < 0.22 and (x + y) % max(side // 4, 3) == 0:
                wood = "padauk"
            elif down > 0.25 and across < 0.22:
                wood = "birch-yellow" if across < 0.1 else "sapele"
            elif across < 0.02 + down / 3:
                wood = "walnut-black"
            else:
                wood = None
            row.append(wood)
        rows.append(row)
    return Pattern.of(rows)


def a_plan(owner: Member, pattern: Pattern, *, name: str = "Lamp", **asked: object) -> Plan:
    """A kept plan of ``pattern``; the woods are on hand."""
    add_woods(*[wood for wood in WOODS if not WoodOnHand.objects.filter(wood=wood).exists()])
    design = Design.objects.create(name=name, source="blank")
    version = PatternVersion.objects.create(
        design=design, number=1, pattern=pattern.to_text(), height=pattern.height, width=pattern.width
    )
    return keep_plan(who=owner, version=version, board=board(**asked), workshop=the_workshop())


def with_cut_plan(owner: Member, plan: Plan, *, each: int = 3, long: int = 2400) -> Plan:
    """Its cut plan is kept, from a rack that has enough."""
    for wood in {one["wood"] for one in plan.record["woods"]}:
        size = {"thickness": Length.of_mm(40), "width": Length.of_mm(160), "length": Length.of_mm(long)}
        boards(owner, each, wood=wood, place=f"Rack B, shelf {len(wood)}", **size)
    sawing.keep(owner, cutting_of(plan))
    return plan


def with_evenings(owner: Member, plan: Plan) -> Plan:
    """Its timetable is kept, around evenings from Monday to Friday."""
    if not ShopSession.objects.exists():
        add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60, "who": "Mara"})
        add_material(who=owner, model=RowJig, values={"name": "Long jig", "count": 2, "longest": Length.of_mm(1500)})
    evenings.kept(owner, making_of_plan(plan.pk))
    return plan


def whole(owner: Member, pattern: Pattern, *, each: int = 3, **asked: object) -> Plan:
    """A plan of everything: with its cut plan and its timetable."""
    return with_evenings(owner, with_cut_plan(owner, a_plan(owner, pattern, **asked), each=each))


def build_sheet_of_then(plan: Plan) -> BuildSheet:
    """The paper a plan was given before there were shop books."""
    document = store_document(b"%PDF-1.7 of then", title=f"Build sheet, {plan.title}")
    return BuildSheet.objects.create(plan=plan, document=document)


def book(owner: Member, plan: Plan, paper: str = "A4") -> ShopBook:
    """Asked for, not made yet."""
    asked = ask_for_book(who=owner, binding=binding_of(plan), paper=paper)
    return ShopBook.objects.select_related("plan__design", "sheet__plan", "timetable").get(pk=asked.pk)
