"""Pages that are empty, waiting or have something to mend pass axe as well as the filled ones."""

from __future__ import annotations

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.pictures.actions import bring_picture
from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.browser import AXE, looked_over, looks_of
from tests.support.rack import boards
from tests.support.shop import add_woods, board, design_with_pattern, picture, upload


def findings(page, where: str) -> list[str]:
    """What is found wide and light, and narrow and dark; the page is left as wide as it was."""
    found = []
    for look in looks_of(page, "narrow dark", "laptop light"):
        lines, pushed = looked_over(page)
        found += [f"{where}, {look}: {line}" for line in lines]
        if pushed:
            found.append(f"{where}, {look}, can be pushed sideways by {pushed} px")
    return found


def test_axe_finds_nothing_in_an_empty_shop(open_page):
    page = open_page("/")
    page.context.add_init_script(AXE)
    found = []
    for path in ("/", "/designs/", "/designs/aside/", "/plans/", "/quotes/", "/jobs/", "/listings/", "/woods/"):
        page.goto(path)
        found += findings(page, path)
    assert found == []


def test_axe_finds_nothing_on_forms_that_have_something_to_mend(open_page, owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    work.may(owner, plan, "quote")
    job = work.move(owner, work.job(owner, plan), "under way", "finished")
    work.give(owner, job, "take", boards(owner, 2)[0])
    page = open_page("/", expect="422")
    found = []
    for path, label, typed, button in (
        ("/designs/new/", "Name", "", "Read its grid"),
        (f"/designs/{design.pk}/woods/", "Background added", "seven", "Keep this pattern"),
        (f"/designs/{design.pk}/woods/", "Background added", "150", "Keep this pattern"),
        (f"/plans/reckon/{design.pk}/", "Pitch of a tile", "2", "Keep this plan"),
        ("/quotes/new/", "What it is called", "", "Begin this quote"),
        (f"/quotes/drafts/{work.draft(owner, plan).pk}/", "Option 1, price", "a lot", "Look it over"),
        ("/jobs/new/", "What it is", "", "Write it down"),
        (f"/jobs/{job.pk}/wood/", "At least so long", "long", "Take them now"),
        (f"/jobs/{job.pk}/wood/W1/back/", "Length 1", "9000", "These came back"),
        (f"/listings/new/{job.pk}/", "Asked price", "0", "List it"),
        ("/woods/add/", "It costs", "a lot", "Add this wood"),
        ("/workshop/safe/", "Crosscut kerf", "thin", "Keep these settings"),
        ("/password/", "New password", "short", "Keep the new password"),
    ):
        page.goto(path)
        page.get_by_label(label).first.fill(typed)
        page.get_by_role("button", name=button).click()
        page.wait_for_selector("#error-summary")
        found += findings(page, path)
    assert found == []


def test_axe_finds_nothing_while_a_picture_waits_and_after_it_was_refused(open_page, owner):
    design = bring_picture(who=owner, name="Torn", upload=upload(picture()[:60]))
    page = open_page(design.get_absolute_url())
    found = findings(page, "waiting")
    run_waiting_tasks()
    page.goto(design.get_absolute_url())
    found += findings(page, "refused")
    assert found == []


def test_axe_finds_nothing_where_somebody_may_not_go(open_page, owner):
    owner.role = owner.Role.HELPER
    owner.save()
    page = open_page("/workshop/", expect="403")
    assert findings(page, "not allowed") == []
