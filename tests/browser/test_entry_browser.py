"""Data entry in a real browser: a vehicle by form, by trace, by table, then planned; axe."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.web.test_entry import POINT, TYPED
from tests.web.test_imports_web import table
from tests.web_cases import PERSON, served, shop_in
from underset.app import Shop

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("entry")) as opened:
        yield opened


@pytest.fixture(scope="module")
def address(shop: Shop) -> Iterator[str]:
    with served(shop) as where:
        yield where


@pytest.fixture
def tablet(chromium: Browser, address: str) -> Iterator[Page]:
    """A tablet at which somebody is named; any complaint of a script fails the test."""
    context = chromium.new_context(viewport={"width": 768, "height": 1024}, base_url=address)
    context.add_cookies([{"name": "underset-person", "value": PERSON, "url": address}])
    page, wrong = context.new_page(), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    yield page
    context.close()
    assert wrong == []


def fill(page: Page, fields: dict[str, str]) -> None:
    for name, text in fields.items():
        if name in ("mirrored", "id"):
            continue
        field = page.locator(f"#f-{name}")
        for fold in ("details.section:not([open])", "details.listrow:not([open])"):
            folded = page.locator(fold, has=field)
            if folded.count():
                folded.locator("summary").first.click()
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)


def planned(page: Page, id: str) -> None:
    page.goto(f"/vehicles/{id}")
    page.get_by_role("link", name="Plan a lift").click()
    assert page.locator("ol.bays > li").count() == 4


def test_a_vehicle_is_added_by_form_and_planned(tablet: Page) -> None:
    tablet.goto("/vehicles/new")
    tablet.locator("#f-wheelbase").focus()
    lit = tablet.locator('.us-vehicle [data-key="wheelbase"].lit')
    assert lit.count() == 1
    assert "Wheelbase" in tablet.locator("#lit").inner_text()
    tablet.locator("#f-wheelbase").press_sequentially("260 in")
    tablet.locator("[data-odd='wheelbase']").first.wait_for()
    assert "cm written as inches" in tablet.locator("#said").inner_text()
    tablet.locator("#f-wheelbase").fill("2600")
    tablet.locator("[data-field='wheelbase']").wait_for()
    assert tablet.locator("#f-wheelbase").get_attribute("aria-invalid") == "true"
    assert lit.count() == 1  # the new drawing is lit too
    fill(tablet, TYPED | {"label": "By form"})
    tablet.locator("#said").get_by_text("Complete and nothing looks odd").wait_for()
    tablet.get_by_role("button", name="Store the vehicle").click()
    tablet.wait_for_url("**/vehicles/by-form?stored=1")
    planned(tablet, "by-form")


PLACES = {
    "front": (350, 450), "rear": (1000, 450), "left": (700, 250),
    "lf": (490, 272), "rf": (490, 628), "lr": (825, 274), "rr": (825, 626),
}  # fmt: skip
DRAW = """async (marks) => {
  const c = document.createElement("canvas"); c.width = 1400; c.height = 900;
  const p = c.getContext("2d"); p.fillStyle = "#fff";
  p.fillRect(0, 0, 1400, 900);
  p.strokeRect(150, 240, 1100, 420);
  p.fillStyle = "#000";
  for (const [x, y] of Object.values(marks)) p.fillRect(x - 3, y - 3, 6, 6);
  const blob = await new Promise((done) => c.toBlob(done, "image/png"));
  return Array.from(new Uint8Array(await blob.arrayBuffer()));
}"""


def picture(page: Page) -> dict[str, object]:
    return {
        "name": "under.png",
        "mimeType": "image/png",
        "buffer": bytes(page.evaluate(DRAW, PLACES)),
    }


def test_a_vehicle_is_added_by_trace_and_planned(tablet: Page) -> None:
    tablet.goto("/vehicles/trace")
    tablet.locator("#f-wheelbase").fill("2600 ± 3 mm")
    tablet.locator("#f-document").fill("Body sheet, page 9")
    tablet.set_input_files(
        "#picture", {"name": "x.png", "mimeType": "image/png", "buffer": b"none"}
    )
    assert "no PNG" in tablet.locator("#bad-file").text_content(timeout=3000) or (
        tablet.wait_for_function("document.getElementById('bad-file').textContent !== ''")
    )
    sent: list[str] = []
    tablet.on("request", lambda r: sent.append(r.post_data or ""))
    tablet.set_input_files("#picture", picture(tablet))
    canvas = tablet.locator("#canvas")
    canvas.wait_for()
    box = canvas.bounding_box()
    assert box is not None
    k = min(box["width"] / 1400, box["height"] / 900)
    for name, (x, y) in PLACES.items():
        if name == "rr":
            continue
        at = {"x": box["width"] / 2 + (x - 700) * k, "y": box["height"] / 2 + (y - 450) * k}
        canvas.click(position=at)
    # The last mark by keyboard alone, from the mark before it.
    canvas.focus()
    x, y = (float(tablet.locator(f"[name=lr_{a}]").input_value()) for a in "xy")
    step = 1 / min(1.0, k)
    for key, by in (("ArrowRight", (825 - x) / step), ("ArrowDown", (626 - y) / step)):
        for _ in range(round(by)):
            canvas.press(key)
    canvas.press("Enter")
    assert float(tablet.locator("[name=rr_y]").input_value()) == pytest.approx(626, abs=3)
    tablet.get_by_role("button", name="Work out the points").click()
    tablet.locator("#result").wait_for()
    assert "seen from below" in tablet.locator("#result").inner_text()
    assert canvas.is_visible()  # the picture is still there
    assert all("PNG" not in body for body in sent)
    tablet.get_by_role("button", name="Put into the vehicle form").click()
    tablet.wait_for_url("**/vehicles/new?draft=*")
    assert tablet.locator("#f-lf_aft").input_value().startswith(("55", "56"))
    typed = {k: v for k, v in TYPED.items() if k[3:] not in ("aft", "side") and k != "wheelbase"}
    fill(
        tablet,
        typed
        | {"label": "By trace"}
        | {f"{c}_{k}": v for c in ("rf", "rr") for k, v in POINT.items()},
    )
    tablet.get_by_role("button", name="Store the vehicle").click()
    tablet.wait_for_url("**/vehicles/by-trace?stored=1")
    assert "traced from its diagram" in tablet.locator("main").inner_text()
    planned(tablet, "by-trace")


@pytest.mark.parametrize(
    ("path", "field"), [("/vehicles/trace", "#picture"), ("/import", "#table-file")]
)
def test_a_file_is_chosen_by_a_large_button_or_by_key(
    tablet: Page, tmp_path: Path, path: str, field: str
) -> None:
    file = tmp_path / "under.csv"
    file.write_bytes(b"none")
    tablet.goto(path)
    tablet.on("filechooser", lambda _: None)  # so that the browser hands over every chooser
    button = tablet.locator(".pick")
    box = button.bounding_box()
    assert box is not None and box["height"] >= 64
    with tablet.expect_file_chooser():
        button.click()
    tablet.locator(field).focus()
    with tablet.expect_file_chooser() as chooser:
        tablet.keyboard.press("Enter")
    chooser.value.set_files(file)
    tablet.locator(".chosen", has_text="under.csv").wait_for()


def test_a_vehicle_is_added_by_table_and_planned(tablet: Page, tmp_path: Path) -> None:
    file = tmp_path / "fleet.csv"
    file.write_text(table({"id": "by-table", "label": "By table"}), "utf-8")
    tablet.goto("/import")
    tablet.set_input_files("input[type=file]", file)
    tablet.get_by_role("button", name="Look through it").click()
    tablet.get_by_role("button", name="Take all of them in").click()
    tablet.get_by_text("1 records taken in").wait_for()
    planned(tablet, "by-table")


SCREENS = (
    "/vehicles", "/vehicles/chandler-van", "/vehicles/new", "/vehicles/new?copy=pilot-coupe",
    "/vehicles/trace", "/import", "/sheets",
)  # fmt: skip
SIZES = ((768, 1024), (1280, 800), (390, 844))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing_serious(chromium: Browser, address: str, theme: str) -> None:
    axe = Axe()
    for width, height in SIZES[:1]:
        context = chromium.new_context(
            viewport={"width": width, "height": height}, color_scheme=theme, base_url=address
        )
        context.add_cookies([{"name": "underset-person", "value": PERSON, "url": address}])
        page = context.new_page()
        for screen in SCREENS:
            page.goto(screen)
            found = axe.run(page).response["violations"]
            serious = [
                (v["id"], v["nodes"][0]["html"][:200])
                for v in found
                if v["impact"] in ("serious", "critical")
            ]
            assert serious == [], (screen, theme)
        context.close()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_no_screen_scrolls_sideways_and_targets_are_large(
    chromium: Browser, address: str, width: int, height: int
) -> None:
    context = chromium.new_context(viewport={"width": width, "height": height}, base_url=address)
    page = context.new_page()
    for screen in SCREENS:
        page.goto(screen)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, screen
        small = page.evaluate(
            "[...document.querySelectorAll('main a.button, main button, main select, main summary,"
            " main input:not([type=checkbox]):not([type=hidden]):not([type=range])')]"
            ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5)"
            ".map(e => e.outerHTML.slice(0, 90))"
        )
        assert small == [], screen
    context.close()


EVERY = (
    "/", *SCREENS, "/vehicles/new?edit=harbour-hatch", "/jobs", "/lifts", "/lifts/north", "/shelf",
    "/people", "/book", "/coverage", "/day", "/settings", "/parked?vehicle=harbour-hatch&bay=north",
    "/plan?vehicle=harbour-hatch", "/setting?vehicle=harbour-hatch&bay=north&spot=1.25",
)  # fmt: skip
# Letters of drawings by their size on the screen, in px, turned ones too.
LETTERS = """() => [...document.querySelectorAll('.us-vehicle text, .drawings svg text')]
  .filter(e => e.checkVisibility() && e.textContent.trim()).map(e => {
    const m = e.getScreenCTM();
    return [parseFloat(getComputedStyle(e).fontSize) * Math.hypot(m.a, m.b), e.textContent];
  }).filter(([size]) => size < 12)"""
SHORT = """() => [...document.querySelectorAll('main button, main select, main .button,'
  + 'main summary, main input:not([type=checkbox], [type=radio], [type=hidden], [type=range])')]
  .filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 55.5)
  .map(e => e.outerHTML.slice(0, 90))"""


def test_a_phone_in_a_glove(chromium: Browser, address: str) -> None:
    """No page moves sideways, drawn figures can be read, targets take a gloved finger."""
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, base_url=address
    )
    page = context.new_page()
    for screen in EVERY:
        page.goto(screen)
        wide = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert max(wide) <= 390, (screen, wide)
        assert page.evaluate(LETTERS) == [], screen
        assert page.evaluate(SHORT) == [], screen
    context.close()


def test_the_form_is_folded_on_a_phone_and_says_what_is_kept(
    chromium: Browser, address: str
) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, base_url=address)
    page = context.new_page()
    page.goto("/vehicles/new?edit=harbour-hatch")
    assert page.locator("details.section[open]").count() == 1
    bar = page.locator(".savebar")
    assert "As on file, version 1" in bar.inner_text()
    page.locator("#sec-weights > summary").click()
    page.locator("#f-front_axle").fill("lots")
    assert "not kept yet" in bar.inner_text()
    page.locator("#progress").get_by_text("1 to correct").wait_for()
    page.locator("#sec-weights > summary").click()
    page.locator("#said a[href='#f-front_axle']").click()
    assert page.locator("#f-front_axle").is_visible()
    box, window = bar.bounding_box(), page.evaluate("window.innerHeight")
    assert box is not None and box["y"] + box["height"] == pytest.approx(window, abs=1)
    context.close()


def test_a_set_is_copied_and_its_points_are_the_ones_drawn(tablet: Page) -> None:
    tablet.goto("/vehicles/new?edit=harbour-hatch")
    tablet.get_by_role("button", name="Copy this set").click()
    field = tablet.locator("#f-set-1-lf_aft")
    field.wait_for()
    field.fill("555 mm")
    tablet.locator('.us-vehicle [data-key="lf_aft"].lit text', has_text="555 mm").wait_for()
    tablet.get_by_role("button", name="Take this set out").nth(1).click()
    tablet.get_by_role("button", name="Take this set out").wait_for(state="detached")
    assert tablet.locator(".pointset").count() == 1


def test_chromium_is_the_one_of_the_system() -> None:
    assert shutil.which("chromium")
