"""What the second of two tablets is shown: both versions side by side, nothing overwritten."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fastapi.responses import Response

from underset.app import wording
from underset.app.papers import Clash
from underset.web.page import show
from underset.web.visit import Visit


@dataclass(frozen=True, slots=True)
class ClashView:
    """Two versions of one thing, and the page on which the change is made anew."""

    clash: Clash
    back: str


def clash_page(visit: Visit, clash: Clash, back: str) -> Response:
    """Both versions in the visitor's language."""
    told = replace(clash, told=wording.worded(clash.told, visit.language))
    here = back.split("/")[1]
    return show(visit, "clash.html", ClashView(told, back), title="clash", here=here, code=409)
