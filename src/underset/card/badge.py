"""The sign of a status: each has a shape and a mark of its own, so colour never speaks alone."""

from __future__ import annotations

from typing import Final

from underset.card import svg

# On a 10 × 10 field. Holds: ring with a tick; watch: triangle; not known: diamond with a question
# mark; stops: solid block with a bar across.
_LINE: Final = '<path class="us-badge-line" d="{}"/>'
_MARKS: Final[dict[str, str]] = {
    "holds": '<circle class="us-holds" cx="5" cy="5" r="4.3"/>'
    + _LINE.format("M2.9 5.2l1.6 1.7 2.8-3.6"),
    "watch": '<path class="us-watch" d="M5 .9L9.6 9.1H.4z"/>' + _LINE.format("M5 3.6v2.8M5 7.5v.5"),
    "unknown": '<path class="us-unknown" d="M5 .5L9.5 5 5 9.5.5 5z"/>'
    + _LINE.format("M3.8 4.1a1.25 1.25 0 1 1 1.8 1.1c-.4.2-.6.4-.6.9M5 7.1v.4"),
    "stops": '<path class="us-stops-ink" d="M.7 .7h8.6v8.6H.7z"/>'
    '<path class="us-badge-bar" d="M2.2 5h5.6"/>',
}


def badge_svg(key: str, *, theme: svg.Theme = "print", size: float = 4.0) -> str:
    """The sign of a status key ("holds", "watch", "unknown", "stops"), `size` mm square."""
    style = "" if theme == "bare" else f"<style>{badge_style(theme)}</style>"
    s = svg.num(size)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10" width="{s}mm" height="{s}mm"'
        f' class="us-badge" aria-hidden="true">{style}{_MARKS[key]}</svg>'
    )


def badge_style(theme: svg.Theme) -> str:
    """Style rules of all badges, which hold inside them alone."""
    c = {n: v[0] if theme == "print" else f"var(--us-{n})" for n, v in svg.COLOURS.items()}
    rules = {
        "us-badge-line": f"fill:none;stroke:{c['ink']};stroke-width:1.1;stroke-linecap:round",
        "us-badge-bar": f"fill:none;stroke:{c['paper']};stroke-width:1.8",
        "us-stops-ink": f"fill:{c['stops']}",
    }
    for key in ("holds", "watch", "unknown"):
        rules[f"us-{key}"] = f"fill:{c['paper']};stroke:{c[key]};stroke-width:1"
    return "".join(f".us-badge .{name}{{{rule}}}" for name, rule in rules.items())
