"""The workshop's row, read once a request."""

from __future__ import annotations

from copy import deepcopy
from functools import cache, lru_cache

from django.conf import settings
from django.db import connection
from django.http import HttpRequest

from planner.measures import Length

from .models import Adhesive, ClampKind, Finish, RowJig, Workshop
from .models.materials import starting_adhesives, starting_clamps, starting_finishes, starting_jigs


def the_workshop() -> Workshop:
    """The one row; before anything was saved, the defaults, unsaved, for reading never writes.

    Every page asks for its hundred columns, and an ordinary query spent a tenth of a page's time on them: on putting
    itself into words and on making the same lengths and sums of the same numbers. Both are kept; the row is not."""
    with connection.cursor() as cursor:
        cursor.execute(_words())
        row = cursor.fetchone()
    if row is None:
        return Workshop(pk=1, edit_version=0)
    values = [deepcopy(value) if isinstance(value, (dict, list)) else value for value in _values(row)]
    return Workshop.from_db(connection.alias, [field.attname for field in Workshop._meta.concrete_fields], values)


@cache
def _words() -> str:
    name = connection.ops.quote_name
    columns = ", ".join(name(field.column) for field in Workshop._meta.concrete_fields)
    return f"SELECT {columns} FROM {name(Workshop._meta.db_table)} WHERE {name(Workshop._meta.pk.column)} = 1"


@lru_cache(maxsize=8)
def _values(row: tuple[object, ...]) -> list[object]:
    """What the fields make of a row of the database."""
    compiler = Workshop.objects.all().query.get_compiler(connection=connection)
    columns = [field.get_col(Workshop._meta.db_table) for field in Workshop._meta.concrete_fields]
    return next(compiler.apply_converters([row], compiler.get_converters(columns)))


def workshop_of(request: HttpRequest) -> Workshop:
    if not hasattr(request, "_workshop"):
        request._workshop = the_workshop()
    return request._workshop


def shop_context(request: HttpRequest) -> dict[str, object]:
    """``shop`` for every page. Somebody not signed in is shown the defaults and costs no query."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"shop": Workshop(name="Kerfstead"), "is_demo": settings.IS_DEMO}
    return {"shop": workshop_of(request), "is_demo": settings.IS_DEMO}


def adhesives() -> list[Adhesive]:
    """Those the shop uses; the starting one, unsaved, where none is written down."""
    return list(Adhesive.objects.filter(kept=True)) or starting_adhesives()


def finishes() -> list[Finish]:
    return list(Finish.objects.filter(kept=True)) or starting_finishes()


def clamps() -> list[ClampKind]:
    return list(ClampKind.objects.filter(kept=True)) or starting_clamps()


def row_jigs() -> list[RowJig]:
    return list(RowJig.objects.filter(kept=True)) or starting_jigs()


def first_sizes(unit: str) -> dict[str, Length]:
    """Sizes a maker might start from, round in the shop's own units."""
    if unit == "in":
        return {
            "pitch": Length.of_inches("3/4"),
            "thickness": Length.of_inches("3/4"),
            "side_border": Length.of_inches(2),
            "end_border": Length.of_inches("3/2"),
        }
    return {
        "pitch": Length.of_mm(17),
        "thickness": Length.of_mm(20),
        "side_border": Length.of_mm(51),
        "end_border": Length.of_mm(34),
    }
