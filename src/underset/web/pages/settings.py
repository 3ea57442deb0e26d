"""Settings: this device's units, language, look and name; the shop's rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import papers
from underset.errors import ConflictError
from underset.web.clash import clash_page
from underset.web.cookies import keep
from underset.web.forms import Version
from underset.web.guard import DEVICE_COOKIE
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
RULES = ("require_daily_check", "require_authorisation")
Language = Annotated[str, Form(pattern="^(en|de)$")]
Units = Annotated[str, Form(pattern="^(metric|inch)$")]
Theme = Annotated[str, Form(pattern="^(auto|light|dark)$")]
Device = Annotated[str, Form(pattern="^[A-Za-z0-9][A-Za-z0-9 -]{0,39}$|^$")]
Rule = Annotated[str, Form(pattern="^(yes|no)$")]


@dataclass(frozen=True, slots=True)
class SettingsView:
    """What this device chose, and what the shop demands."""

    language: str
    units: str
    theme: str
    device: str
    rules: tuple[tuple[str, bool], ...]
    version: int
    lan: bool


@router.get("/settings", response_class=HTMLResponse)
def settings(visit: Visitor) -> HTMLResponse:
    """Choices and rules."""
    about = visit.shop.workshop().about
    rules = tuple((rule, bool(getattr(about, rule))) for rule in RULES)
    version = papers.version_of(visit.shop, "workshop", "workshop")
    view = SettingsView(
        visit.language, visit.units, visit.theme, visit.device, rules, version, visit.options.lan
    )
    return show(visit, "settings.html", view, title="settings", here="settings")


@router.post("/settings/device")
def device(
    visit: Visitor, language: Language, units: Units, theme: Theme, device: Device = ""
) -> Response:
    """Keep this device's choices on this device."""
    answer = RedirectResponse("/settings", status_code=303)
    chosen = {
        **{"underset-language": language, "underset-units": units, "underset-theme": theme},
        DEVICE_COOKIE: device,
    }
    for name, value in chosen.items():
        keep(answer, visit.options, name, value)
    return answer


@router.post("/settings/rules", response_class=HTMLResponse)
def rules(
    visit: Visitor, version: Version, require_daily_check: Rule, require_authorisation: Rule
) -> Response:
    """Change what the shop demands: the judge, not the page, holds every plan to it."""
    visit.may("lead")
    asked = {
        "require_daily_check": require_daily_check == "yes",
        "require_authorisation": require_authorisation == "yes",
    }
    try:
        papers.save_rules(visit.shop, asked, version, visit.by)
    except ConflictError as error:
        return _clash(visit, error, asked)
    return RedirectResponse("/settings", status_code=303)


def _clash(visit: Visit, error: ConflictError, asked: dict[str, bool]) -> Response:
    kept = visit.shop.record("workshop", "workshop")
    told = {True: "✓", False: "✕"}
    theirs = {rule: told[bool(getattr(kept.record, rule))] for rule in RULES}
    mine = [(rule, told[value]) for rule, value in asked.items()]
    return clash_page(visit, papers.clash(error, mine, theirs, kept.version), "/settings")
