"""Studies in a real browser: the page asks again by itself, fits a phone, and axe finds nothing."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.web_cases import PERSON, TODAY, served
from underset.app import open_shop, sample_folder

KEPT = ("parcel-van.toml",)
PHONE = 390


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The sample workshop with one of its vehicles and one job, served."""
    folder = tmp_path_factory.mktemp("studies-browser")
    shutil.copytree(sample_folder(), folder / "shop")
    _thin_out(folder / "shop" / "vehicles", KEPT)
    _thin_out(folder / "shop" / "jobs", ("parcel-drive-unit-out.toml",))
    about = folder / "shop" / "workshop.toml"
    lines = about.read_text(encoding="utf-8").splitlines()
    gone = [p.stem for p in (sample_folder() / "vehicles").glob("*.toml") if p.name not in KEPT]
    kept = [x for x in lines if not any(x.strip('"').startswith(g) for g in gone)]
    about.write_text("\n".join(kept) + "\n", encoding="utf-8")
    shop = open_shop(folder / "book.db", seed=folder / "shop", clock=lambda: TODAY)
    with served(shop) as found:
        yield found
    shop.close()


def _thin_out(folder: Path, keep: tuple[str, ...]) -> None:
    for path in folder.glob("*.toml"):
        if path.name not in keep:
            path.unlink()


@pytest.fixture(scope="module")
def page(chromium: Browser, address: str) -> Iterator[Page]:
    context = chromium.new_context(base_url=address, viewport={"width": PHONE, "height": 844})
    context.add_cookies([{"name": "underset-person", "value": PERSON, "url": address}])
    yield context.new_page()
    context.close()


@pytest.mark.parametrize(
    ("path", "picture"),
    [
        ("/coverage", "us-coverage"),
        ("/buying", "us-curve"),
        ("/lift-choice", "us-lifts"),
        ("/day", "us-day"),
    ],
)
def test_a_study_arrives_by_itself_and_has_no_serious_fault(
    page: Page, path: str, picture: str
) -> None:
    page.goto(path)
    page.wait_for_selector(f"svg.{picture}", timeout=180_000)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE
    found = Axe().run(page).response["violations"]
    serious = [
        (v["id"], [n["html"][:120] for n in v["nodes"]][:3])
        for v in found
        if v["impact"] in ("serious", "critical")
    ]
    assert serious == []
    small = page.evaluate(
        """() => [...document.querySelectorAll("main button, main select, main .button")]
            .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 47.5)
            .map((e) => e.outerHTML.slice(0, 80))"""
    )
    assert small == []
