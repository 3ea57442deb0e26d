"""Every check the judge makes: what it asks, how it is worked out, and on whose word.

`sense` says how demand and limit compare: "at most", "at least", or "yes" for a plain question.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from underset.sources import (
    DGUV_109_008,
    DGUV_208_015,
    DGUV_208_015_SYNC,
    DGUV_208_040,
    EULER,
    FRICTION_TABLE,
    PAD_SLIP,
    PRACTICE,
    PUSH_TABLE,
    SHOP,
    STATICS,
    Citation,
)

PLATE: Final = Citation("the lift's plate and instructions")
MAKER: Final = Citation("the vehicle maker's lifting information")
ADAPTER_PLATE: Final = Citation("the adapter's marking")
WA_ALERT: Final = Citation("WorkSafe WA safety alert 07/2013")
HSE_LOCKS: Final = Citation("HSE SIM 03/2010/2", "arm locks on two-post lifts")
EV_PADS: Final = Citation("vehicle makers' manuals", "pads clear of the traction battery")
RUST: Final = Citation("Quebec sector body on two-post lifts", "structure sound at the points")
DGUV_109_009: Final = Citation("DGUV Regel 109-009", "4.8.1")
EXAM: Final = Citation("DGUV Information 208-015 (10/2019)", "section 8")
OPERATOR: Final = Citation("DGUV Information 208-015 (10/2019)", "section 4")
DROOP: Final = Citation("DGUV Information 208-015 (10/2019)", "section 1")


@dataclass(frozen=True, slots=True)
class CheckKind:
    """One kind of check as the manual, the working and the card describe it."""

    group: str
    sense: str
    unit: str
    formula: str
    meaning: str
    sources: tuple[Citation, ...]


def _kind(
    group: str, sense: str, unit: str, formula: str, meaning: str, *sources: Citation
) -> CheckKind:
    return CheckKind(group, sense, unit, formula, meaning, sources)


CHECKS: Final[dict[str, CheckKind]] = {
    # placing
    "approach": _kind("placing", "yes", "", "heading in {allowed headings}", "the bay can be entered this way round", PLATE),
    "wheelbase": _kind("placing", "yes", "", "least <= wheelbase <= greatest", "the lift takes this wheelbase", PLATE),
    "width": _kind("placing", "at most", "m", "vehicle width <= greatest width", "the lift takes this width", PLATE),
    "arm_reach": _kind("placing", "at least", "m", "min(r - r_min, r_max - r)", "reach left before the arm's end stops", PLATE),
    "arm_tooth": _kind("placing", "yes", "", "phi = phi_0 + k pitch, within the swing limits", "the arm restraint is in full mesh at this swing", HSE_LOCKS, DGUV_208_040),
    "point_zone": _kind("placing", "at most", "1", "max(|along|/tau_along, |across|/tau_across)", "the pad's centre stands within the usable zone of the lifting point", MAKER),
    "point_on_pad": _kind("placing", "at most", "1", "|point - pad centre| / half pad width", "the point bears on the inner part of the pad", PAD_SLIP),
    "parking_along": _kind("placing", "at least", "m", "min(s - s_low, s_high - s)", "how far the vehicle may stop off the spot and still be set", SHOP),
    "parking_across": _kind("placing", "yes", "", "all four arms reach at ± along, ± sideways and ± yaw together", "the setting survives the parking tolerance along, across and in heading together", SHOP),
    # stack
    "stack_fit": _kind("stack", "yes", "", "below(i+1) = above(i), top piece serves the contact", "pieces fit the seat, one another and the lifting point", ADAPTER_PLATE, MAKER),
    "stack_stock": _kind("stack", "yes", "", "pieces used <= pieces in service at this bay", "the pieces are on the shelf and in service", WA_ALERT),
    "stack_height": _kind("stack", "at most", "m", "sum of piece heights + screw", "the stack stays below the lift maker's greatest height", PLATE),
    "maker_rated": _kind("stack", "yes", "", "every piece is rated by its maker for lifting", "no improvised piece stands under the vehicle", PRACTICE),
    "approved": _kind("stack", "yes", "", "every piece is approved for this lift", "the lift maker approves the pieces, where a list is on file", PLATE),
    "cradle_battery": _kind("stack", "yes", "", "no frame cradle under a battery-electric vehicle", "frame cradles never stand under a battery vehicle", PRACTICE),
    "special_adapter": _kind("stack", "yes", "", "the adapter the vehicle maker demands is used", "the vehicle maker's special adapter is used where one is demanded", MAKER),
    "adapter_inspected": _kind("stack", "at most", "months", "months since inspection <= interval", "every piece was inspected in time", SHOP),
    "screw_range": _kind("stack", "at least", "m", "min(h_fix + travel, ...) - max(...) - point tolerances", "screws can level all four pads whatever the true point heights", SHOP),
    "seat_height": _kind("stack", "at least", "m", "min(z - z_low, z_high - z)", "the seats can stand at the height of first touch", PLATE),
    # loads
    "rated_load": _kind("load", "at most", "N", "sum of pad loads, worst corner, what the step presses down with it", "the lift's rated capacity is not exceeded", PLATE),
    "arm_load": _kind("load", "at most", "N", "greatest pad load, worst corner, what the step pushes with it", "no arm carries more than its limit", PLATE, PRACTICE),
    "point_load": _kind("load", "at most", "N", "greatest pad load at a point with a limit", "no lifting point carries more than its maker allows", MAKER),
    "adapter_load": _kind("load", "at most", "N", "greatest pad load / least rating in the stack", "no piece carries more than its rating", ADAPTER_PLATE),
    "pad_split": _kind("load", "at most", "1", "greater of front and rear share of the pad loads, worst corner", "front and rear pads share the load within the permitted split", DGUV_208_015),
    "heavy_end": _kind("load", "yes", "", "heavier pad pair on the shorter arms", "the heavier end stands on the shorter arms", DGUV_208_015),
    "least_pad": _kind("load", "at least", "1", "least pad load / weight, worst corner", "every pad stays loaded: all springs, warp and tolerances considered", SHOP, EULER),
    "level": _kind("load", "at least", "m", "F_i (sum n^2/k + T^2/K) / (n_i n_j)", "unevenness of one pad that lifts another clear", SHOP, EULER),
    "carriage_level": _kind("load", "at most", "m", "height difference between the carriages, and its tilt", "the carriages stand level with each other", DGUV_208_015_SYNC),
    "balance": _kind("load", "yes", "", "ledger of masses and places", "mass and centre of gravity are known well enough to judge", STATICS),
    # stability
    "cg_edge": _kind("stability", "at least", "m", "distance of the CG to the nearest edge, worst corner", "the centre of gravity stands well inside the support polygon", SHOP, STATICS),
    "cg_window": _kind("stability", "at least", "m", "min(x_G - low, high - x_G) in L, worst corner", "the balance sits where the lift maker wants it", PLATE),
    "push_tip": _kind("stability", "at least", "N", "W m / h at the roof edge, worst corner", "a person's push does not tip the vehicle", PUSH_TABLE, STATICS),
    "push_unload": _kind("stability", "at least", "N", "F_i / (h |grad F_i|) at the roof edge, worst corner", "a person's push does not empty a pad", PUSH_TABLE, EULER),
    "push_slide": _kind("stability", "at least", "N", "1 / (1/(mu W) + e/(mu sum F_i r_i))", "a person's push at an end does not slide or turn the vehicle on its pads", FRICTION_TABLE, PUSH_TABLE),
    "job_push": _kind("stability", "at least", "1", "force that tips, empties a pad or slides / force of the step", "the force of this step neither tips, unloads nor slides", STATICS),
    "table_push": _kind("stability", "at least", "N", "push from below that empties a pad", "the table's push leaves every pad loaded", STATICS),
    "stand_firm": _kind("stability", "yes", "", "P + min(0, d / c) > 0 over all tolerances", "a support stand stays loaded and cannot come loose", STATICS),
    "stand_moves": _kind("stability", "yes", "", "no raise or lower step while a stand stands", "the lift does not move on a support stand", PRACTICE),
    # clearances
    "arm_tyre": _kind("clearance", "at least", "m", "plan distance of arm strip and tyre chord at arm height", "arms stand clear of the tyres", SHOP),
    "arm_zone": _kind("clearance", "at least", "m", "underside - (z + arm top) where the arm passes under, else plan distance", "arms stand clear of what hangs under the body", SHOP),
    "pad_zone": _kind("clearance", "at least", "m", "plan distance of pad edge to zones that may not be touched", "pads stand clear of battery, lines and other places not to be touched", EV_PADS, SHOP),
    "arm_arm": _kind("clearance", "at least", "m", "plan distance between arms of one side", "arms stand clear of each other", SHOP),
    "arm_column": _kind("clearance", "at least", "m", "plan distance of arms and pads to the column across", "arms stand clear of the other column", SHOP),
    "way_in": _kind("clearance", "yes", "", "path in swing and reach from parked to set, at lowest height", "each arm can be brought in past tyres and skirts", SHOP),
    "drive_through": _kind("clearance", "at least", "m", "(gap between columns - width with mirrors) / 2", "the vehicle passes between the columns", SHOP),
    "door": _kind("clearance", "at least", "rad", "greatest opening that keeps the gap to the columns", "the door opens far enough to get out", SHOP),
    "overhead": _kind("clearance", "at least", "m", "ceiling or bar - roof at the wanted height", "roof and open lids stay clear of ceiling and stop bar", SHOP),
    "clear_space": _kind("clearance", "at least", "m", "distance of the vehicle's outline to fixed things", "free space round the raised vehicle", DGUV_109_008),
    # papers
    "lift_service": _kind("papers", "yes", "", "in service, no open defect", "the lift is in service", DGUV_208_015),
    "lift_examined": _kind("papers", "at most", "months", "months since examination <= interval", "the lift was examined in time", EXAM),
    "daily_check": _kind("papers", "yes", "", "checked today", "the lift had its daily check", SHOP),
    "source_age": _kind("papers", "at most", "months", "age of the lifting-point source", "lifting-point data was re-checked within the year", PRACTICE),
    "floor": _kind("papers", "yes", "", "level floor, installer's certificate on file", "floor and anchors are certified by the installer", PLATE),
    "authorised": _kind("papers", "yes", "", "person authorised for this kind of lift", "the person is authorised for this kind of lift", OPERATOR),
    # intake
    "rust_at_points": _kind("intake", "yes", "", "asked at the vehicle", "no rust at the lifting points", RUST),
    "repair_at_points": _kind("intake", "yes", "", "asked at the vehicle", "no repair at the lifting points", RUST),
    "hidden_payload": _kind("intake", "yes", "", "asked at the vehicle", "no hidden payload on board", DGUV_109_009),
    "person_in_vehicle": _kind("intake", "yes", "", "asked at the vehicle", "nobody is in the vehicle", DGUV_208_015),
    "air_suspension_in_lift_mode": _kind("intake", "yes", "", "asked at the vehicle", "air suspension is in the maker's lifting mode, or not fitted", DGUV_109_009),
    "entered_straight": _kind("intake", "yes", "", "asked at the vehicle", "the vehicle stands straight in the bay", DGUV_109_009),
}  # fmt: skip

GROUPS: Final = ("placing", "stack", "load", "stability", "clearance", "papers", "intake")
