"""Pictures of the studies as own SVG: coverage, trade-off of cost and share, the day's board."""

from __future__ import annotations

from underset.studies.chart_coverage import coverage_picture
from underset.studies.chart_curve import curve_picture
from underset.studies.chart_day import board_picture

__all__ = ["board_picture", "coverage_picture", "curve_picture"]
