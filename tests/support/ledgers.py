"""What the ledgers of wood, time and jobs come to by plain SQL over their tables: an oracle that shares nothing with
the readers of the app.

Volumes are whole cubic nanometres, multiplied here, for no database holds such a number; worth and minutes are summed
as they stand.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from decimal import Decimal

from django.db import connection

# Who is signed in is nothing that was done in the shop.
NO_LEDGER = ("django_session",)


def rows(query: str, *given: object) -> list[tuple]:
    with connection.cursor() as cursor:
        cursor.execute(query, given)
        return cursor.fetchall()


def everything() -> dict[str, list[tuple]]:
    """All rows of all tables, to hold against each other before and after."""
    tables = [one for one in sorted(connection.introspection.table_names()) if one not in NO_LEDGER]
    return {one: sorted(map(repr, rows(f'SELECT * FROM "{one}"'))) for one in tables}


# --- wood ------------------------------------------------------------------------------------------------------

_SIZE = "p.thickness, p.width, p.length"
_STANDS = "NOT EXISTS (SELECT 1 FROM lumber_stockentry u WHERE u.undoes_id = e.id)"
_MOVES = (
    "FROM lumber_stockmove m JOIN lumber_stockentry e ON e.id = m.entry_id "
    "JOIN lumber_stockpiece p ON p.id = m.piece_id "
)


def volume(thickness: int, width: int, length: int) -> int:
    return thickness * width * length


def where_wood_is() -> dict[str, Counter]:
    """By wood how much was ``bought``, and of that what is ``here``, what each key has ``out`` (taken less what came
    back of it), and what was lost in ``saw`` kerfs and as ``scrap``; pieces that never were are nowhere."""
    found: dict[str, Counter] = defaultdict(Counter)
    parts: Counter = Counter()
    for parent, *size in rows(
        f"SELECT p.parent_id, {_SIZE} FROM lumber_stockpiece p WHERE p.parent_id IS NOT NULL AND p.state <> 'undone'"
    ):
        parts[parent] += volume(*size)
    for pk, wood, parent, state, key, *size in rows(
        "SELECT p.id, p.wood, p.parent_id, p.state, d.key, "
        f"{_SIZE} FROM lumber_stockpiece p LEFT JOIN lumber_demand d ON d.id = p.demand_id"
    ):
        whole = volume(*size)
        if state == "undone":
            continue
        if parent is None:
            found[wood]["bought"] += whole
        where = {"here": "here", "taken": f"out: {key}", "split": "saw", "scrapped": "scrap"}[state]
        # Of what was cut up only what is in no part of it is there.
        found[wood][where] += whole - parts[pk]
    return found


def worth_by_account() -> Counter:
    """What every account holds: what went to it less what came from it."""
    found: Counter = Counter()
    for came_from, went_to, worth in rows("SELECT came_from, went_to, worth FROM lumber_stockmove"):
        found[came_from] -= Decimal(str(worth))
        found[went_to] += Decimal(str(worth))
    # A change that carries nothing names no account.
    found.pop("", None)
    return found


def paid_for_wood() -> Decimal:
    return sum((Decimal(str(a)) + Decimal(str(b)) + Decimal(str(c)) for a, b, c in rows(
        "SELECT goods, tax, carriage FROM lumber_lot"
    )), Decimal(0))  # fmt: skip


def worth_here() -> Decimal:
    return sum((Decimal(str(one)) for (one,) in rows("SELECT worth FROM lumber_stockpiece WHERE state = 'here'")),
               Decimal(0))  # fmt: skip


def wood_of(key: str) -> dict[str, tuple[int, int, Decimal]]:
    """Of the wood a key has out, by wood: the volume taken, the volume that came back of it, the worth that stayed."""
    found: dict[str, list] = defaultdict(lambda: [0, 0, Decimal(0)])
    for pk, wood, *size in rows(
        f"SELECT p.id, p.wood, {_SIZE} FROM lumber_stockpiece p JOIN lumber_demand d ON d.id = p.demand_id "
        "WHERE d.key = %s AND p.state = 'taken'", key,
    ):  # fmt: skip
        one = found[wood]
        one[0] += volume(*size)
        took = f"SELECT m.worth {_MOVES} WHERE m.piece_id = %s AND e.kind = 'taken' AND {_STANDS} ORDER BY m.id DESC"
        one[2] += Decimal(str(rows(took, pk)[0][0]))
        back = f"SELECT m.worth, {_SIZE} {_MOVES} WHERE p.parent_id = %s AND e.kind = 'returned' AND {_STANDS}"
        # An offcut comes to the rack once, with its first move; that another job had it since is another matter.
        first = "m.id = (SELECT MIN(f.id) FROM lumber_stockmove f WHERE f.piece_id = p.id)"
        for worth, *part in rows(f"{back} AND {first}", pk):
            one[1] += volume(*part)
            one[2] -= Decimal(str(worth))
    return {wood: tuple(one) for wood, one in found.items()}


# --- time, parts, steps, states ----------------------------------------------------------------------------------


def minutes_of(key: str) -> dict[str, int]:
    """Minutes by operation of the entries that nothing takes the place of."""
    return dict(rows(
        "SELECT t.operation, SUM(t.minutes) FROM schedule_timeentry t WHERE t.key = %s AND t.kind = 'worked' "
        "AND NOT EXISTS (SELECT 1 FROM schedule_timeentry m WHERE m.mends_id = t.id) GROUP BY t.operation", key
    ))  # fmt: skip


def parts_of(job: int, plan: int, kind: str) -> int:
    (many,) = rows(
        "SELECT SUM(e.count) FROM jobs_partentry e WHERE e.job_id = %s AND e.plan_id = %s AND e.kind = %s "
        "AND NOT EXISTS (SELECT 1 FROM jobs_partentry b WHERE b.undoes_id = e.id)", job, plan, kind
    )[0]  # fmt: skip
    return int(many or 0)


def steps_done(key: str) -> set[str]:
    """Steps whose newest tick stands."""
    newest = "SELECT MAX(n.id) FROM plans_steptick n WHERE n.key = %s GROUP BY n.step"
    return {step for step, done in rows(f"SELECT step, done FROM plans_steptick WHERE id IN ({newest})", key) if done}


def states() -> dict[int, tuple[str, str]]:
    """Of every job the state it has, and the one its newest event left it in."""
    return {pk: (has, left) for pk, has, left in rows(
        "SELECT j.id, j.state, v.state FROM jobs_job j JOIN jobs_jobevent v ON v.job_id = j.id "
        "WHERE v.id = (SELECT MAX(w.id) FROM jobs_jobevent w WHERE w.job_id = j.id)"
    )}  # fmt: skip
