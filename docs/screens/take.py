"""Takes the pictures of docs/web.md anew: every screen of the bay app on the sample workshop.

python docs/screens/take.py [name ...]     needs Chromium on the path, and Pillow
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT)]

from PIL import Image  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from tests.conftest import CHROMIUM_ARGUMENTS  # noqa: E402
from tests.web_cases import OPEN, PERSON, served, shop_in  # noqa: E402
from underset.app import Actor, Wish, runs  # noqa: E402
from underset.web import ServeOptions  # noqa: E402

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

MOST = 150_000  # bytes
TALLEST = 1400  # px of a page
TABLET, DESK, PHONE = (768, 1024), (1280, 800), (390, 844)
SETTING = "/setting?vehicle=harbour-hatch&bay=north&points=sill-bosses"
# Screens with lines that stay at the edge of the window are taken as the window shows them.
WINDOWS = {"vehicle-form", "vehicle-form-phone", "points-tablet-dark"}
# name -> path, size, dark
SCREENS: dict[str, tuple[str, tuple[int, int], bool]] = {
    "today": ("/", TABLET, False),
    "plan": ("/plan?vehicle=harbour-hatch&job=hatch-engine-out", TABLET, False),
    "setting": (f"{SETTING}&spot=1.2521", DESK, False),
    "setting-tablet-dark": (f"{SETTING}&spot=1.2521", TABLET, True),
    "setting-beside": (f"{SETTING}&spot=0.5", DESK, False),
    "setting-phone": (f"{SETTING}&spot=1.2521", PHONE, False),
    "run": ("/run/{run}", TABLET, False),
    "parked": ("/parked?vehicle=harbour-hatch&bay=north", TABLET, False),
    "vehicles": ("/vehicles", TABLET, False),
    "vehicle": ("/vehicles/harbour-hatch", TABLET, False),
    "vehicle-form": ("/vehicles/new?copy=pilot-coupe", DESK, False),
    "vehicle-form-phone": ("/vehicles/new?edit=harbour-hatch", PHONE, False),
    "points-tablet-dark": ("/vehicles/new?edit=chandler-van#sec-points", TABLET, True),
    "trace": ("/vehicles/trace", DESK, False),
    "import": ("/import", TABLET, False),
    "sheets": ("/sheets", TABLET, False),
    "jobs": ("/jobs", TABLET, False),
    "lifts": ("/lifts", TABLET, False),
    "lift": ("/lifts/north", TABLET, False),
    "daily-check": ("/lifts/north/check", TABLET, False),
    "shelf": ("/shelf", TABLET, False),
    "adapter": ("/shelf/spacer-75", TABLET, False),
    "people": ("/people", TABLET, False),
    "person": ("/people/jorun", TABLET, False),
    "book": ("/book", TABLET, False),
    "coverage": ("/coverage", DESK, False),
    "day": ("/day", DESK, False),
    "settings": ("/settings", TABLET, True),
    "sign-in": ("/sign-in", TABLET, False),
}


def take(browser: Browser, address: str, run: str, name: str) -> int:
    """Take one picture; returns the status of its page."""
    path, (width, height), dark = SCREENS[name]
    scheme = "dark" if dark else "light"
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=scheme,
    )
    context.add_cookies([{"name": "underset-person", "value": PERSON, "url": address}])
    page = context.new_page()
    answer = page.goto(address + path.format(run=run))
    status = answer.status if answer else 0
    if status == 200:
        worked_out(page)
        tall = min(TALLEST, page.evaluate("document.documentElement.scrollHeight"))
        whole = {"x": 0, "y": 0, "width": width, "height": tall}
        window = name in WINDOWS
        shot = page.screenshot() if window else page.screenshot(clip=whole, full_page=True)
        (ROOT / "docs" / "screens" / f"{name}.png").write_bytes(smaller(shot))
    context.close()
    return status


def worked_out(page: Page) -> None:
    """Wait for a study, which is worked out beside the pages."""
    study = page.locator("#study")
    for _ in range(120):
        if study.count() == 0 or page.locator("#study table").count():
            return
        page.wait_for_timeout(2000)
        page.reload()


def smaller(shot: bytes) -> bytes:
    """The picture in few colours, below the greatest size a picture may have here."""
    image = Image.open(io.BytesIO(shot)).convert("RGB")
    for colours in (128, 64, 32, 16):
        out = io.BytesIO()
        image.quantize(colours, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
        if out.tell() <= MOST:
            break
    return out.getvalue()


def main(names: list[str]) -> int:
    program = shutil.which("chromium")
    with (
        tempfile.TemporaryDirectory() as folder,
        shop_in(Path(folder)) as shop,
        sync_playwright() as playwright,
    ):
        run = runs.start_run(shop, Wish("harbour-hatch", None, ("north",)), Actor(PERSON, "tablet"))
        browser = playwright.chromium.launch(executable_path=program, args=CHROMIUM_ARGUMENTS)
        with served(shop, OPEN) as address:
            wanted = [n for n in names or SCREENS if n != "sign-in"]
            missing = [n for n in wanted if take(browser, address, run, n) != 200]
        lan = ServeOptions(lan=True, hosts=OPEN.hosts, rate_per_minute=OPEN.rate_per_minute)
        with served(shop, lan) as address:
            if not names or "sign-in" in names:
                take(browser, address, run, "sign-in")
        browser.close()
    print(f"No picture of: {', '.join(missing)}" if missing else "Every picture is taken.")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
