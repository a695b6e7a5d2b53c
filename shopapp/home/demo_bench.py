"""The evenings, the wall of clamps and the tubs of Reedbank Workshop. Everything is invented, sheets included."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from planner.measures import Length
from shopapp.people.models import Member
from shopapp.schedule.actions import add_exception, add_sessions
from shopapp.workshop.actions import change_settings
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import Adhesive, ClampKind, Finish, RowJig, Workshop

_mm = Length.of_mm


def fill_bench(who: Member, workshop: Workshop) -> Workshop:
    """Evenings and Saturdays, a Saturday at the market, glue and oil from sheets that never were, jigs and clamps."""
    today = timezone.localdate()
    add_sessions(who=who, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})
    add_sessions(who=who, weekdays=[5], values={"starts": 9 * 60, "ends": 17 * 60, "people": 2})
    market = today + timedelta(days=(5 - today.weekday()) % 7 + 14)
    add_exception(who=who, values={"first": market, "last": market, "reason": "harbour market"})
    glue = {
        "name": "White wood glue",
        "assembly": 12,
        "machining": 1440,
        "sanding": 2880,
        "lowest_celsius": Decimal(10),
    }
    oil = {"name": "Hard oil", "cure": 5 * 1440}
    read = today - timedelta(days=40)
    for model, values in ((Adhesive, glue), (Finish, oil)):
        sheet = {"source": f"{values['name'].lower()}, an invented sheet", "source_on": read}
        add_material(who=who, model=model, values={**values, **sheet})
    for model, values in (
        (RowJig, {"name": "Jig by the window", "count": 1, "longest": _mm(650)}),
        (RowJig, {"name": "Small jig", "count": 1, "longest": _mm(420)}),
        (ClampKind, {"name": "Short bar clamps", "count": 12, "reach": _mm(300)}),
        (ClampKind, {"name": "Long bar clamps", "count": 10, "reach": _mm(900)}),
    ):
        add_material(who=who, model=model, values=values)
    return change_settings(
        who=who,
        title="The demo's bench",
        changes={
            "bench_places": 2,
            "widest_flattened": _mm(450),
            "shop_celsius": Decimal(17),
            "shop_humidity": Decimal(55),
        },
        seen_version=workshop.edit_version,
    )
