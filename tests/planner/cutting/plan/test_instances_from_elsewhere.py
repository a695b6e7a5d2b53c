"""An instance written in other words is read whole, and its plan costs here what was written there."""

from planner.cutting.plan import StockBoard, faults_of, plan_cuts
from tests.support.cut_instances import job_of, plan_of

INSTANCE = {
    "saw": {
        "rip_kerf": 8, "cross_kerf": 6, "grip": 192, "max_rip": 3072, "end_trim": 32, "edge_trim": 8,
        "blank_grid": 16, "finish": {"4": 52, "5": 68},
    },
    "keep": {"min_len": 1024, "min_w": 128, "rate_pct": 50},
    "value": {"ash": 60000},
    "demand": [{"species": "ash", "w": 48, "t": 48, "l": 48, "qty": 15, "role": "tile"}],
    "stock": [{"id": "A", "species": "ash", "W": 216, "L": 2368, "cls": 4, "price": 64000}],
}  # fmt: skip
# One strip holds 15 x (48 + 6) + 192 = 1002, so a rough length of 1008 on the grid.
PLAN = [
    {
        "id": "A",
        "blanks": [
            {"len": 1008, "t": 48, "sticks": [{"w": 48, "pieces": {"48": 15}}]},
            {"len": 1290, "t": 48, "sticks": []},
        ],
    }
]


def test_costs_and_credits_are_those_of_the_rules_written_beside_the_instances():
    job = job_of(INSTANCE)
    foot = 64 * 64 * 4 * 144
    board = round(64000 * 216 * 2368 * 4 / foot)
    assert job.stock == (StockBoard("A", "ash", 216, 2368, 52, board, 50 * 60000 * 4),)
    plan = plan_of(PLAN, job)
    assert faults_of(plan, job) == ()
    # 2304 - 1008 - 6 = 1290 long and 200 wide goes back; the edge beside the strip is too short to keep.
    assert plan.cost == board - 50 * 60000 * 200 * 1290 * 4 // (100 * foot)


def test_the_planner_finds_a_plan_no_dearer_than_the_one_written():
    job = job_of(INSTANCE)
    assert plan_cuts(job, steps=20).cost <= plan_of(PLAN, job).cost
