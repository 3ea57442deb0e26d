"""The card, the working and the record of a plan: everything people see of a result.

It takes result types, computes nothing, and writes one declared view in several forms.
"""

from underset.card import svg
from underset.card.badge import badge_svg
from underset.card.build import About, build_view
from underset.card.drawing import Options, front_svg, pair_svg, plan_svg, side_svg, stack_svg
from underset.card.html import drawing_css, render_html
from underset.card.measure import MeasureSheet, MeasureTable, measure_html, measure_pdf
from underset.card.measure_drawings import lift_svg, shelf_svg
from underset.card.notation import notation_figures
from underset.card.pdf import render_pdf, render_svg
from underset.card.qr import qr_svg
from underset.card.record import document_digest, evaluation_json, plan_digest, plan_json, plan_text
from underset.card.schema import plan_schema
from underset.card.text import verdict_text
from underset.card.vehicle_drawing import (
    SketchDoor,
    SketchPoint,
    SketchZone,
    VehicleSketch,
    vehicle_svg,
)
from underset.card.view import CardView, WorkingView
from underset.card.working import working_view
from underset.card.working_pages import working_html, working_pdf, working_text

__all__ = [
    "About",
    "CardView",
    "MeasureSheet",
    "MeasureTable",
    "Options",
    "SketchDoor",
    "SketchPoint",
    "SketchZone",
    "VehicleSketch",
    "WorkingView",
    "badge_svg",
    "build_view",
    "document_digest",
    "drawing_css",
    "evaluation_json",
    "front_svg",
    "lift_svg",
    "measure_html",
    "measure_pdf",
    "notation_figures",
    "pair_svg",
    "plan_digest",
    "plan_json",
    "plan_schema",
    "plan_svg",
    "plan_text",
    "qr_svg",
    "render_html",
    "render_pdf",
    "render_svg",
    "shelf_svg",
    "side_svg",
    "stack_svg",
    "svg",
    "vehicle_svg",
    "verdict_text",
    "working_html",
    "working_pdf",
    "working_text",
    "working_view",
]
