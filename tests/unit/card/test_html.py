"""The HTML page: complete, self-contained, usable by keyboard and reader."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from tests.card_cases import CASES, found, job, refused
from underset.card.build import About, build_view
from underset.card.html import drawing_css, render_html


class Page(HTMLParser):
    """Ids, addresses, headings and open tags of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.addresses: list[str] = []
        self.headings: list[str] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            if name in ("src", "href", "xlink:href", "action"):
                self.addresses.append(value or "")
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(tag)

    def handle_data(self, data: str) -> None:
        self.words += data


@pytest.mark.parametrize("name", CASES)
def test_a_page_needs_nothing_else(name: str) -> None:
    page = Page(render_html(build_view(CASES[name]())))
    assert page.addresses == []
    assert len(page.ids) == len(set(page.ids))


def test_nothing_is_left_out() -> None:
    view = build_view(job())
    page = Page(render_html(view))
    for line in (*view.hold_points, *view.checks):
        assert line.title in page.words
    for state in view.states:
        assert state.name in page.words
    assert all(caution in page.words for caution in view.cautions)
    assert all(source.text in page.words for source in view.sources)
    assert view.advice in page.words
    assert view.invented in page.words


def test_headings_go_down_one_step_at_a_time() -> None:
    levels = [int(h[1]) for h in Page(render_html(build_view(found()))).headings]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_a_refusal_shows_what_would_make_it_work() -> None:
    page = Page(render_html(build_view(refused())))
    assert "Use bay 3" in page.words
    assert "Nearest miss" in page.words
    assert "212" in page.words


def test_words_of_people_are_shown_and_never_run() -> None:
    evil = "<script>alert('x')</script>"
    view = build_view(replace(found(), notes=(evil,)), About(vehicle=evil))
    assert "<script>" not in render_html(view)
    assert evil in Page(render_html(view)).words


def test_the_language_of_the_page_is_told() -> None:
    page = render_html(build_view(found(), language="de", units="inch"))
    assert '<html lang="de" data-units="inch" data-outcome="found">' in page


def test_rules_for_bare_drawings_cover_every_class_they_use() -> None:
    css, page = drawing_css(), render_html(build_view(found()))
    used = {c for group in re.findall(r'class="([^"]*us-[^"]*)"', page) for c in group.split()}
    ruled = set(re.findall(r"\.(us-[\w-]+)", css))
    without_rule = {"us-drawing", "us-solid"} - ruled
    assert {c for c in used if c.startswith("us-")} - ruled <= {"us-drawing"} | without_rule
