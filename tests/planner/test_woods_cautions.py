"""Cautions stand beside a wood with their source; they defer, and never clear anything."""

from planner.woods import ANY_WOOD_DUST, WOODS, cautions_for, wood
from tests.support.each import each

USES = ("wall", "serving", "trivet")
every_caution = [
    *((wood_id, caution) for wood_id, found in WOODS.items() for caution in cautions_for(found, "serving")),
    ("any", ANY_WOOD_DUST),
]


def kinds(wood_id, use):
    return [caution.kind for caution in cautions_for(wood(wood_id), use)]


@each(("wood_id", "caution"), every_caution)
def test_every_caution_has_short_words_a_source_and_clears_nothing(wood_id, caution):
    assert caution.kind in {"dust", "food", "bonding", "trade", "colour", "allergen"}
    assert 20 < len(caution.words) < 250
    assert caution.source
    words = caution.words.lower()
    assert not any(claim in words for claim in ("is safe", "approved", "allergen free", "fda", "certified", "harmless"))


def test_all_hardwood_dust_is_cautioned_about_with_its_source():
    assert "nasal cancer" in ANY_WOOD_DUST.words
    assert "IARC" in ANY_WOOD_DUST.source


@each(
    "wood_id",
    [
        "iroko",
        "teak",
        "walnut-black",
        "beech",
        "birch-yellow",
        "purpleheart",
        "padauk",
        "wenge",
        "mahogany",
        "elm-american",
    ],
)
@each("use", USES)
def test_woods_of_the_published_chart_carry_their_dust_caution_whatever_is_made(wood_id, use):
    # Chart of toxic woods, American Woodturner, June 1990.
    assert "dust" in kinds(wood_id, use)


@each("wood_id", WOODS)
def test_food_cautions_belong_to_every_board_but_one_for_the_wall(wood_id):
    assert "food" not in kinds(wood_id, "wall")
    assert "food" in kinds(wood_id, "serving")
    assert kinds(wood_id, "serving") == kinds(wood_id, "trivet")


@each("wood_id", WOODS)
def test_only_hard_maple_is_said_to_be_named_and_even_that_approves_no_board(wood_id):
    # FDA Food Code 4-101.17 names hard maple "or an equivalently hard, close-grained wood", without a list.
    first = next(c for c in cautions_for(wood(wood_id), "serving") if "model food code" in c.words)
    assert ("approves no single board" in first.words) == (wood_id == "maple-hard")
    assert "local authority" in first.words


@each("wood_id", ["oak-northern-red", "ash-white", "hickory-true", "elm-american", "wenge", "iroko"])
def test_open_pored_woods_are_advised_against_where_food_lies(wood_id):
    assert any("Open pores" in caution.words for caution in cautions_for(wood(wood_id), "serving"))


def test_white_oak_whose_pores_are_blocked_is_not_called_open_pored():
    assert not any("Open pores" in caution.words for caution in cautions_for(wood("oak-white"), "serving"))


@each("wood_id", WOODS)
def test_the_woods_called_soft_are_those_under_600_pounds_force(wood_id):
    found = wood(wood_id)
    called_soft = any(caution.words.startswith("Soft") for caution in cautions_for(found, "serving"))
    assert called_soft == (found.janka_lbf is not None and found.janka_lbf < 600)


def test_walnut_is_named_as_a_tree_nut_and_the_question_left_open():
    (remark,) = (caution for caution in wood("walnut-black").cautions if caution.kind == "allergen")
    assert "proves or rules out" in remark.words
    assert [wood_id for wood_id in WOODS if "allergen" in kinds(wood_id, "wall")] == ["walnut-black"]


def test_padauk_bleeds_its_colour_and_may_need_papers():
    assert {"colour", "trade", "dust"} <= set(kinds("padauk", "wall"))


@each("wood_id", ["teak", "osage-orange"])
def test_woods_that_bond_with_difficulty_defer_to_the_adhesives_sheet(wood_id):
    (caution,) = (caution for caution in wood(wood_id).cautions if caution.kind == "bonding")
    assert "adhesive's sheet" in caution.words
    assert "10-1" in caution.source
