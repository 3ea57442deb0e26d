"""The HTML card in a real browser: accessible, light and dark, wide and narrow, on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.card_cases import CASES, found, job
from underset.card import build_view, render_html, working_html, working_view

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["job", "stopped", "refused", "incomplete"])
def test_the_card_passes_the_accessibility_rules(page: Page, name: str, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.set_content(render_html(build_view(CASES[name]())))
    assert offences(page) == []


def test_the_working_passes_the_accessibility_rules(page: Page) -> None:
    page.set_content(working_html(working_view(job())))
    assert offences(page) == []


@pytest.mark.parametrize("width", [360, 768, 1400])
def test_the_page_never_scrolls_sideways(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.set_content(render_html(build_view(job(), language="de", units="inch")))
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_screen_turns_dark_and_paper_stays_light(page: Page) -> None:
    page.set_content(render_html(build_view(found())))
    ground = "getComputedStyle(document.body).backgroundColor"
    page.emulate_media(color_scheme="light")
    assert page.evaluate(ground) == "rgb(255, 255, 255)"
    page.emulate_media(color_scheme="dark")
    assert page.evaluate(ground) == "rgb(16, 22, 29)"
    page.emulate_media(color_scheme="dark", media="print")
    assert page.evaluate(ground) == "rgb(255, 255, 255)"


def test_drawings_are_drawn(page: Page) -> None:
    page.set_content(render_html(build_view(found())))
    for name in ("pad-LF", "arm-RR", "window-band", "side-vehicle", "front-pad-LR"):
        frame = page.locator(f"#{name}").bounding_box()
        assert frame is not None
        assert frame["width"] > 3
        assert frame["height"] > 3


def offences(page: Page) -> list[str]:
    from axe_playwright_python.sync_playwright import Axe

    results = Axe().run(page)
    return [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in results.response["violations"]]


def test_the_rules_find_an_offence(page: Page) -> None:
    page.set_content("<html><body><main><img src='data:,x'></main></body></html>")
    assert any(o.startswith("image-alt") for o in offences(page))
