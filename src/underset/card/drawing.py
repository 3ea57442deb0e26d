"""The drawings of a setting, and how several of them share one scale.

Pure functions of the scene: they place what the judge built and write figures beside it. Groups
keep stable ids (`vehicle`, `arm-LF`, `pad-LF`, `cg`, `window-band`, ...), elevations with `side-`
or `front-` before them, and the root tells `data-per-metre`, `data-origin-x` and `data-origin-y`,
so that a script may move parts.
"""

from __future__ import annotations

from dataclasses import replace

from underset.card.plan_view import plan_frame, plan_svg
from underset.card.sheet import (
    ALL_HOLD,
    NICE_SCALES,
    CornerStatus,
    Options,
    fits,
)
from underset.card.side_view import front_svg, side_frame, side_svg
from underset.card.stack_view import stack_svg
from underset.setting import Scene, Setting


def pair_svg(
    scene: Scene,
    setting: Setting | None = None,
    *,
    statuses: CornerStatus = ALL_HOLD,
    options: Options | None = None,
) -> tuple[str, str]:
    """Side view and plan at one scale, to be set one above the other; `options.height` bounds both.

    Decision: first-angle projection (ISO 128): the plan lies below the elevation, aligned with it.
    """
    options = options or Options(height=130.0)
    shared = replace(options, ratio=shared_ratio(scene, options))
    side = side_svg(scene, setting, statuses=statuses, options=shared)
    return side, plan_svg(scene, setting, statuses=statuses, options=shared)


def shared_ratio(scene: Scene, options: Options) -> float:
    """The largest nice scale, as 1:ratio, at which side view and plan fit their paper together."""
    side, plan = side_frame(scene, options), plan_frame(scene, options)
    for ratio in NICE_SCALES:
        k = 1000.0 / ratio
        if fits(plan, k, options.width) and side.height_at(k) + plan.height_at(k) <= options.height:
            return ratio
    return NICE_SCALES[-1]


__all__ = [
    "ALL_HOLD",
    "CornerStatus",
    "Options",
    "front_svg",
    "pair_svg",
    "plan_svg",
    "side_svg",
    "stack_svg",
]
