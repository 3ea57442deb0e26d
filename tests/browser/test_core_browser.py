"""Plan, drag, snap, run and print in a real browser, by mouse, keys and touch, light and dark."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.web_cases import PERSON, served, shop_in
from underset.app import Actor, Shop, Wish, bookkeeping, runs

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page, Route

pytestmark = pytest.mark.browser

SETTING = "/setting?vehicle=harbour-hatch&bay=north&points=sill-bosses"
PLAN = "/plan?vehicle=harbour-hatch&job=hatch-engine-out"
SIZES = {"tablet": (768, 1024), "desk": (1280, 800), "phone": (390, 844)}


FAULTS: list[str] = []


@pytest.fixture(autouse=True)
def quiet_console() -> Iterator[None]:
    """A message on the console of any page fails the test."""
    FAULTS.clear()
    yield
    assert FAULTS == []


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("shop")) as opened:
        yield opened


@pytest.fixture(scope="module")
def address(shop: Shop) -> Iterator[str]:
    with served(shop) as url:
        yield url


@pytest.fixture(scope="module")
def run_path(shop: Shop) -> str:
    wish = Wish("harbour-hatch", None, ("north",))
    return f"/run/{runs.start_run(shop, wish, Actor(PERSON, 'bench tablet'))}"


def opened(
    chromium: Browser,
    address: str,
    size: str = "tablet",
    *,
    dark: bool = False,
    touch: bool = False,
) -> Page:
    """A fresh page of a visitor who has given a name."""
    width, height = SIZES[size]
    context = chromium.new_context(
        base_url=address, viewport={"width": width, "height": height}, has_touch=touch,
        color_scheme="dark" if dark else "light",
    )  # fmt: skip
    context.add_cookies([{"name": "underset-person", "value": PERSON, "url": address}])
    page = context.new_page()
    page.on("console", lambda message: FAULTS.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: FAULTS.append(f"script: {error}"))
    return page


def spot_of(page: Page) -> float:
    """The held stop, from the form that goes to the server."""
    return float(page.locator('#held [name="spot"]').input_value())


def settled(page: Page) -> None:
    """Wait until the drawing is of the held stop."""
    page.wait_for_function(
        """() => {
            const held = document.querySelector('#held [name="spot"]').value;
            return Number(document.getElementById("stop").dataset.spot) === Number(held);
        }"""
    )


def centre(drawing: Locator) -> tuple[float, float]:
    box = drawing.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


# --- plan and setting -----------------------------------------------------------------------------


def test_from_today_to_a_setting(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto("/")
    page.get_by_label("Vehicle").select_option("harbour-hatch")
    page.get_by_label("Job").select_option("hatch-engine-out")
    page.get_by_role("button", name="Show the bays").click()
    assert page.locator("ol.bays > li").count() == 4
    page.get_by_role("link", name="Open the setting").first.click()
    assert page.locator('[data-slot="verdict"] .verdict-line').inner_text().split()[0] in (
        "holds",
        "watch",
    )
    assert page.locator(".corner").count() == 4
    assert page.locator("#plan-drawing #windows rect").count() >= 1


def test_drag_by_mouse_moves_vehicle_numbers_and_arms(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    before, facts = spot_of(page), page.locator(".facts").inner_text()
    arm = page.locator("#arm-LF polygon").first.get_attribute("points")
    x, y = centre(page.locator("#plan-drawing"))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 20, y, steps=8)
    page.mouse.up()
    settled(page)
    assert spot_of(page) < before - 0.05
    assert page.locator(".facts").inner_text() != facts
    assert page.locator("#arm-LF polygon").first.get_attribute("points") != arm
    assert f"spot={spot_of(page):.4f}" in page.url


def test_the_vehicle_follows_before_the_server_answers(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    page.route("**/setting/part?*", lambda route: None)  # the answer never comes
    page.locator("#plan-drawing").focus()
    page.keyboard.press("Shift+ArrowLeft")
    moved = page.locator("#vehicle").get_attribute("transform")
    assert moved is not None
    along = float(moved.removeprefix("translate(").split()[0])
    scale = float(page.locator("#plan-drawing svg").get_attribute("data-per-metre") or 0)
    assert along == pytest.approx(-0.1 * scale, abs=0.02)


def status_shown(page: Page) -> bool:
    """Whether any status found by the judge is to be seen on the page."""
    return any(
        place.is_visible()
        for name in ('[data-slot="verdict"]', ".corner .badge", ".checks li", ".strip .badge")
        for place in page.locator(name).all()
    )


def test_no_status_is_shown_until_the_stop_is_judged(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    assert status_shown(page) and not page.locator("#late").is_visible()
    page.route("**/setting/part?*", lambda route: None)  # the answer never comes
    page.locator("#plan-drawing").focus()
    page.keyboard.press("ArrowLeft")
    assert page.locator("#late").is_visible() and not status_shown(page)
    assert "not known yet" in page.locator("#late").inner_text()


def test_a_fast_drag_never_shows_the_status_of_another_stop(
    chromium: Browser, address: str
) -> None:
    """Across the bay, every other answer late: at each frame a status is of its own stop."""
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    count = itertools.count()

    def late(route: Route) -> None:
        answer = route.fetch()
        page.wait_for_timeout(150 if next(count) % 2 == 0 else 1)
        route.fulfill(response=answer)

    page.route("**/setting/part?*", late)
    page.evaluate(
        """() => {
            window.seen = { frames: 0, late: 0, wrong: 0 };
            const look = () => {
                const said = document.getElementById("stop").dataset;
                const held = document.querySelector('#held [name="spot"]').value;
                const verdict = document.querySelector('[data-slot="verdict"]');
                const shown = getComputedStyle(verdict).visibility === "visible";
                window.seen.frames += 1;
                window.seen.late += !shown;
                window.seen.wrong += shown && Number(said.spot) !== Number(held);
                requestAnimationFrame(look);
            };
            look();
        }"""
    )
    x, y = centre(page.locator("#plan-drawing"))
    page.mouse.move(x, y)
    page.mouse.down()
    for by in (-60, -120, -40, 30, 90, 10, -15):
        page.mouse.move(x + by, y, steps=3)
        page.wait_for_timeout(60)
    page.mouse.up()
    settled(page)
    page.wait_for_function("document.getElementById('part').dataset.late === 'false'")
    seen = page.evaluate("window.seen")
    assert seen["frames"] > 10 and seen["late"] > 2 and seen["wrong"] == 0
    verdict = page.locator('[data-slot="verdict"]').inner_text()
    page.unroute_all(behavior="wait")
    page.goto(f"{SETTING}&spot={spot_of(page)}")
    assert page.locator('[data-slot="verdict"]').inner_text() == verdict


def test_columns_stay_while_the_vehicle_moves(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    before = page.locator("#column-left").bounding_box()
    page.locator("#plan-drawing").focus()
    for _ in range(5):
        page.keyboard.press("Shift+ArrowLeft")
    settled(page)
    after = page.locator("#column-left").bounding_box()
    assert before and after
    assert all(abs(after[k] - before[k]) < 1.0 for k in ("x", "y", "width", "height"))


def test_keys_snap_and_reset(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto(f"{SETTING}&spot=1.2521")
    page.locator("#plan-drawing").focus()
    page.keyboard.press("ArrowRight")
    settled(page)
    assert spot_of(page) == pytest.approx(1.2571)
    for _ in range(9):
        page.keyboard.press("Shift+ArrowLeft")
    settled(page)
    assert page.locator("#stop").get_attribute("data-reached") == "no"
    assert "No arm reaches" in page.locator('[data-slot="verdict"]').inner_text()
    assert page.locator(".corner").count() == 0
    page.get_by_role("button", name="to the nearest window").click()
    settled(page)
    assert page.locator("#stop").get_attribute("data-reached") == "yes"
    assert page.locator(".corner").count() == 4
    page.get_by_role("button", name="as planned").click()
    settled(page)
    assert spot_of(page) == pytest.approx(1.2521)


def test_drag_by_touch_keeps_its_hold_while_drawings_change(
    chromium: Browser, address: str
) -> None:
    page = opened(chromium, address, touch=True)
    page.goto(f"{SETTING}&spot=1.2521")
    page.locator("#plan-drawing").scroll_into_view_if_needed()
    x, y = centre(page.locator("#plan-drawing"))
    scrolled = page.evaluate("scrollY")
    session = page.context.new_cdp_session(page)

    def finger(kind: str, *points: dict[str, float]) -> None:
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": list(points)})

    finger("touchStart", {"x": x, "y": y})
    for step in range(1, 11):
        finger("touchMove", {"x": x - 3 * step, "y": y})
        page.wait_for_timeout(40)
        if step == 5:
            settled(page)
    finger("touchEnd")
    settled(page)
    per_pixel = page.evaluate(
        """() => { const svg = document.querySelector("#plan-drawing svg");
            return svg.viewBox.baseVal.width / svg.getBoundingClientRect().width
                / svg.dataset.perMetre; }"""
    )
    assert spot_of(page) == pytest.approx(1.2521 - 30 * per_pixel, abs=6 * per_pixel)
    assert page.evaluate("scrollY") == scrolled


def test_a_finger_beside_the_vehicle_scrolls_the_page_and_moves_nothing(
    chromium: Browser, address: str
) -> None:
    page = opened(chromium, address, touch=True)
    page.goto(f"{SETTING}&spot=1.2521")
    box = page.locator("#plan-drawing").bounding_box()
    assert box is not None
    x, y = box["x"] + 12, box["y"] + box["height"] - 12
    on_vehicle = "([x, y]) => document.elementsFromPoint(x, y).some((e) => e.closest('#vehicle'))"
    assert not page.evaluate(on_vehicle, [x, y])
    session = page.context.new_cdp_session(page)
    for kind, up in (("touchStart", 0), *(("touchMove", 20 * n) for n in range(1, 11))):
        session.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y - up}]}
        )
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_function("scrollY > 40")
    assert spot_of(page) == pytest.approx(1.2521)


# --- run and card ---------------------------------------------------------------------------------


def test_a_run_is_answered_to_its_end(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto("/plan?vehicle=harbour-hatch")
    page.get_by_role("button", name="Start the run").first.click()
    count = page.locator("[data-point]").count()
    assert count >= 10
    for index in range(count):
        button = page.locator(f"#point-{index} button.main")
        box = button.bounding_box()
        assert box and box["height"] >= 72
        button.click()
    page.wait_for_function("() => !localStorage.length")
    page.reload()
    assert page.locator(".runlist li", has_text="open").count() == 0
    page.get_by_role("button", name="End the run").click()
    assert "vehicle down" in page.locator(".verdict-line").inner_text()


def test_ticks_wait_for_the_network_and_arrive_once(
    chromium: Browser, address: str, shop: Shop
) -> None:
    wish = Wish("harbour-hatch", None, ("north",))
    name = runs.start_run(shop, wish, Actor(PERSON, "bench tablet"))
    page = opened(chromium, address)
    page.goto(f"/run/{name}")
    page.context.set_offline(True)
    for index in range(3):
        page.locator(f"#point-{index} button.main").click()
    page.wait_for_function("() => document.getElementById('net').textContent.length > 0")
    assert runs.run_of(shop, name).next_open == 0
    FAULTS.clear()  # the browser itself complains that there is no network
    page.context.set_offline(False)
    page.wait_for_function("() => !localStorage.length", timeout=10_000)
    assert runs.run_of(shop, name).next_open == 3
    told = bookkeeping.search(shop, bookkeeping.Asked(subject=f"run/{name}")).lines
    assert len([e for e in told if e.kind.startswith("hold point")]) == 3


def test_the_card_prints_on_one_page(chromium: Browser, address: str) -> None:
    page = opened(chromium, address)
    page.goto("/plan?vehicle=harbour-hatch")
    form = page.locator('form[action="/card.pdf"]', has_text="Card").first
    fields = form.evaluate("(form) => Object.fromEntries(new FormData(form))")
    answer = page.context.request.post("/card.pdf", form=fields)
    assert "/book/plan/plan-" in answer.url
    body = answer.body()
    assert answer.headers["content-type"] == "application/pdf"
    assert body.startswith(b"%PDF-")
    assert re.findall(rb"/Type\s*/Pages\s*/Count\s+(\d+)", body) == [b"1"]


# --- every size, light and dark -------------------------------------------------------------------


def paths(run_path: str) -> dict[str, str]:
    return {
        "today": "/", "plan": PLAN, "setting": f"{SETTING}&spot=1.2521",
        "beside": f"{SETTING}&spot=0.2", "run": run_path,
    }  # fmt: skip


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", sorted(SIZES))
def test_screens_fit_and_have_no_serious_fault(
    chromium: Browser, address: str, run_path: str, size: str, dark: bool
) -> None:
    page = opened(chromium, address, size, dark=dark)
    for name, path in paths(run_path).items():
        page.goto(path)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= SIZES[size][0], name
        if size == "desk":  # the same markup and colours as on the tablet
            continue
        found = Axe().run(page).response["violations"]
        serious = [
            (v["id"], [n["html"][:120] for n in v["nodes"]][:3])
            for v in found
            if v["impact"] in ("serious", "critical")
        ]
        assert serious == [], name


def test_the_longest_words_and_figures_stay_in_their_boxes(chromium: Browser, address: str) -> None:
    """German, in inches, on the narrowest two columns: nothing reaches out of its corner box."""
    page = opened(chromium, address, "desk")
    page.context.add_cookies([{"name": "underset-language", "value": "de", "url": address}])
    for units in ("inch", "metric"):
        page.context.add_cookies([{"name": "underset-units", "value": units, "url": address}])
        page.goto(f"{SETTING}&spot=1.2521")
        assert page.evaluate("document.documentElement.scrollWidth") <= SIZES["desk"][0]
        out = page.evaluate(
            """() => [...document.querySelectorAll(".corner")].flatMap((box) => {
                const right = box.getBoundingClientRect().right;
                const range = document.createRange();
                return [...box.querySelectorAll("dt, dd, h3, p")].filter((e) => {
                    range.selectNodeContents(e);
                    return range.getBoundingClientRect().right > right + 0.5;
                }).map((e) => e.textContent);
            })"""
        )
        assert out == [], units


def test_targets_are_big_enough_for_a_gloved_finger(
    chromium: Browser, address: str, run_path: str
) -> None:
    page = opened(chromium, address)
    for path in paths(run_path).values():
        page.goto(path)
        small = page.evaluate(
            """() => [...document.querySelectorAll("main button, main select, main .button")]
                .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 47.5)
                .map((e) => e.outerHTML.slice(0, 80))"""
        )
        assert small == [], path


def test_the_menu_is_folded_on_a_phone(chromium: Browser, address: str) -> None:
    page = opened(chromium, address, "phone")
    page.goto("/")
    book = page.get_by_role("link", name="Book", exact=True)
    assert not book.is_visible()
    page.get_by_role("button", name="Menu").click()
    assert book.is_visible()
    page.keyboard.press("Escape")
    assert not book.is_visible()
