"""Pictures of the studies as own SVG: coverage, cost and share, which lift, the day's board."""

from __future__ import annotations

from underset.studies.chart_coverage import coverage_picture
from underset.studies.chart_curve import curve_picture
from underset.studies.chart_day import board_picture
from underset.studies.chart_frame import screen_styles
from underset.studies.chart_lifts import lifts_picture

__all__ = [
    "board_picture",
    "coverage_picture",
    "curve_picture",
    "lifts_picture",
    "screen_styles",
]
