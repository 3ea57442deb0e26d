"""The papers and the run in a real browser: paths, a lost network, accessibility, sizes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from tests.web_cases import OPEN, served, shop_in
from underset.app import Shop
from underset.store import Query

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
SCREENS = (
    "/lifts", "/lifts/north", "/lifts/north/check", "/shelf", "/shelf/spacer-75", "/people",
    "/people/tavi", "/jobs", "/jobs/hatch-engine-out", "/book", "/book/1", "/settings",
    "/parked?vehicle=harbour-hatch&bay=north&spot=-300",
)  # fmt: skip
SIZES = ((768, 1024), (1280, 800), (390, 844))
# Targets that are too small for a gloved finger; links inside a sentence are exempt.
SMALL = """() => [...document.querySelectorAll(
  'button, select, summary, .button, nav a, input:not([type=hidden]), a.line')].filter(e => {
    const box = (e.closest('label.choice') || e).getBoundingClientRect();
    return box.width > 0 && (box.height < 47.5 || box.width < 24);
  }).map(e => e.outerHTML.slice(0, 80))"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("browser")) as opened:
        yield opened


@pytest.fixture(scope="module")
def address(shop: Shop) -> Iterator[str]:
    with served(shop, OPEN) as found:
        yield found


@pytest.fixture(scope="module")
def axe() -> Any:
    from axe_playwright_python.sync_playwright import Axe

    return Axe()


def at_device(page: Page, address: str, person: str = "jorun") -> None:
    page.context.add_cookies([{"name": "underset-person", "value": person, "url": address}])


def serious(axe: Any, page: Page) -> list[str]:
    """What axe-core finds serious or critical, with the first element of each."""
    found = axe.run(page).response["violations"]
    return [
        f"{v['id']}: {v['nodes'][0]['html'][:120]}"
        for v in found
        if v["impact"] in ("serious", "critical")
    ]


@pytest.mark.parametrize("look", ["light", "dark"])
def test_nothing_serious_on_any_screen(
    chromium: Browser, address: str, axe: Any, look: Any
) -> None:
    context = chromium.new_context(
        viewport={"width": 768, "height": 1024}, color_scheme=look, bypass_csp=True
    )
    page = context.new_page()
    at_device(page, address)
    found = {}
    for screen in SCREENS:
        page.goto(address + screen)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found[screen] = serious(axe, page)
    context.close()
    assert not any(found.values()), {k: v for k, v in found.items() if v}


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_every_screen_fits_and_is_big_enough_for_gloves(
    chromium: Browser, address: str, size: tuple[int, int]
) -> None:
    context = chromium.new_context(viewport={"width": size[0], "height": size[1]})
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
    at_device(page, address)
    for screen in SCREENS:
        page.goto(address + screen)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], screen
        assert page.evaluate(SMALL) == [], screen
    context.close()
    assert said == [], "the strict policy or a script complains"


def test_taking_pieces_out_of_service_changes_the_plan(
    page: Page, address: str, shop: Shop
) -> None:
    at_device(page, address)
    plan = f"{address}/plan?vehicle=harbour-hatch"
    page.goto(plan)
    assert page.locator("li.card", has_text="North bay").get_by_text("Usable").count() == 1
    page.goto(f"{address}/lifts/north")
    page.get_by_text("Take out of service", exact=True).first.click()
    page.locator('form[action$="/out"] input[name=reason]').fill("Rope frayed")
    page.locator('form[action$="/out"] button').click()
    page.wait_for_selector(".told")
    page.goto(plan)
    assert page.locator("li.card", has_text="North bay").get_by_text("Usable").count() == 0
    page.goto(f"{address}/lifts/north")
    page.get_by_text("Return to service", exact=True).first.click()
    page.locator('form[action$="/back"] input[name=reason]').fill("Rope changed")
    page.locator('form[action$="/back"] button').click()
    page.wait_for_selector(".told")
    page.goto(plan)
    assert page.locator("li.card", has_text="North bay").get_by_text("Usable").count() == 1


def until(page: Page, said: str) -> None:
    """Wait until an expression holds; polled from here, as the strict policy forbids eval."""
    for _ in range(400):
        if page.evaluate(said):
            return
        page.wait_for_timeout(50)
    raise AssertionError(said)


def begin_run(page: Page, address: str) -> str:
    """The run of a planned lift, open at its first point."""
    at_device(page, address)
    page.goto(f"{address}/plan?vehicle=harbour-hatch")
    page.locator("li.card", has_text="North bay").get_by_role(
        "button", name="Start the run"
    ).click()
    page.wait_for_url("**/run/run-*", wait_until="networkidle")
    return page.url.rpartition("/")[2]


def ticked(shop: Shop, run: str) -> list[str]:
    """Points answered in the book, in its order."""
    query = Query(subject=f"run/{run}", oldest_first=True)
    events = shop.events(query, limit=500).events
    return [str(e.payload["point"]) for e in events if e.kind.startswith("hold point")]


def test_ticks_made_without_network_arrive_once_when_it_returns(
    page: Page, address: str, shop: Shop
) -> None:
    run = begin_run(page, address)
    page.locator(".point:not([hidden]) button[value=yes]").click()
    until(page, "document.getElementById('run')?.dataset.open === '1'")
    until(page, "Object.keys(localStorage).length === 0")
    assert len(ticked(shop, run)) == 1
    page.context.set_offline(True)
    for opened in ("2", "3", "4"):
        page.locator(".point:not([hidden]) button[value=yes]").click()
        until(page, f"document.getElementById('run')?.dataset.open === '{opened}'")
    until(page, "document.getElementById('net')?.textContent.length > 0")
    assert len(ticked(shop, run)) == 1
    page.context.set_offline(False)
    until(page, "Object.keys(localStorage).length === 0")
    points = page.locator(".point[data-point]").evaluate_all("all => all.map(e => e.dataset.point)")
    assert ticked(shop, run) == points[:4]
    page.reload()
    assert page.evaluate("document.getElementById('run')?.dataset.open") == "4"
    assert len(ticked(shop, run)) == 4


def test_every_hold_point_is_answered_and_the_run_ends(
    page: Page, address: str, shop: Shop
) -> None:
    run = begin_run(page, address)
    count = page.locator(".point[data-point]").count()
    for n in range(count):
        page.locator(".point:not([hidden]) button[value=yes]").click()
        until(page, f"document.getElementById('run')?.dataset.open === '{n + 1}'")
    until(page, "Object.keys(localStorage).length === 0")
    page.reload()
    page.locator('form[action$="/finish"] button').click()
    page.get_by_text("Run ended: vehicle down").wait_for()
    assert len(ticked(shop, run)) == count


def test_a_run_is_stopped_only_when_it_is_said_twice(page: Page, address: str, shop: Shop) -> None:
    run = begin_run(page, address)
    button = page.get_by_role("button", name="Yes, stop it for good")
    assert button.count() == 0
    page.get_by_text("Stop this run").click()
    assert not run_ended(shop, run)
    button.click()
    page.locator('#run[data-ended="stopped"]').wait_for(state="attached")
    assert run_ended(shop, run)


def run_ended(shop: Shop, run: str) -> bool:
    told = shop.events(Query(kinds=("run finished",), subject=f"run/{run}")).events
    return len(told) == 1


def test_language_and_look_are_chosen_on_the_device(page: Page, address: str) -> None:
    at_device(page, address)
    page.goto(f"{address}/settings")
    page.get_by_text("Deutsch").click()
    page.get_by_text("dark", exact=True).click()
    page.locator('form[action="/settings/device"] button').click()
    page.get_by_role("heading", name="Einstellungen").wait_for()
    assert page.locator("html").get_attribute("data-theme") == "dark"
