"""Imports point one way: the planner knows nothing of the app, and no app looks left in the order of apps."""

from __future__ import annotations

import ast
import sys
from functools import cache
from pathlib import Path

from tests.support.each import each

ROOT = Path(__file__).resolve().parents[2]
# Each may import only those after it; what comes first is furthest from the ground.
APPS = [
    "home", "books", "listings", "jobs", "quotes", "payments", "plans", "designs", "lumber", "schedule", "workshop",
    "people", "common",
]  # fmt: skip
# highspy is the cut plan's solver, imported only inside the function that plans.
PLANNER_ALLOWED = {"numpy", "PIL", "highspy", "planner"}
ANYWHERE = {"planner.measures", "planner.errors", "planner.length"}
# The route of the work inside the planner: a step may import those before it.
STEPS = [
    "errors", "length", "measures", "tally", "lotcost", "average", "figures", "woods", "cautions", "decoding",
    "palettepng", "pattern", "patternform", "difference", "picture", "sample", "matching", "shop", "build",
    "mending", "cutting", "movement", "gluing", "hours", "pricing", "asking", "reckoning", "methods", "record",
    "proposing",
    "shorts",
]  # fmt: skip


@cache
def imports_of(path: Path) -> set[str]:
    """Absolute names a module imports, relative ones resolved."""
    package = path.relative_to(ROOT).with_suffix("").parts[:-1]
    names = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(part for part in (base, node.module) if part)
            names |= {module} | {f"{module}.{alias.name}" for alias in node.names}
    return names


def python_files(folder: str) -> list[Path]:
    return sorted(p for p in (ROOT / folder).rglob("*.py") if "migrations" not in p.parts)


@each("path", python_files("planner"), ids=str)
def test_the_planner_knows_neither_django_nor_the_app_nor_the_outside(path):
    tops = {name.split(".")[0] for name in imports_of(path)}
    foreign = tops - PLANNER_ALLOWED - set(sys.stdlib_module_names)
    assert not foreign
    assert not tops & {"time", "datetime", "random", "socket", "os", "subprocess", "urllib", "pathlib", "secrets"}


@each("path", python_files("planner"), ids=str)
def test_no_step_of_the_route_looks_ahead(path):
    step = path.relative_to(ROOT / "planner").with_suffix("").parts[0]
    if step in ("__init__", "drawing"):
        return
    ahead = set(STEPS[STEPS.index(step) + 1 :])
    assert not {name for name in imports_of(path) if name.startswith("planner.") and name.split(".")[1] in ahead}


def app_of(path: Path) -> str:
    return path.relative_to(ROOT / "shopapp").parts[0]


@each("path", python_files("shopapp"), ids=str)
def test_no_app_imports_against_the_order(path):
    app = app_of(path)
    if app not in APPS:
        return
    above = set(APPS[: APPS.index(app)])
    used = {name.split(".")[1] for name in imports_of(path) if name.startswith("shopapp.") and name.count(".")}
    assert not used & above


@each("path", python_files("shopapp"), ids=str)
def test_only_planning_modules_open_the_door_to_the_planner(path):
    if path.name == "planning.py" or (app_of(path) == "common" and path.name == "tasks.py"):
        return
    modules = {".".join(name.split(".")[:2]) for name in imports_of(path) if name.startswith("planner.")}
    assert modules <= ANYWHERE


def test_every_app_of_the_order_stands_in_the_tree_and_no_other():
    standing = {p.parent.name for p in (ROOT / "shopapp").glob("*/apps.py")}
    assert standing == set(APPS)


def test_models_and_forms_start_no_flow():
    for path in python_files("shopapp"):
        if path.name == "models.py" or path.parent.name == "models":
            used = imports_of(path)
            assert not [n for n in used if n.endswith((".actions", ".views", ".forms", ".planning"))], path
