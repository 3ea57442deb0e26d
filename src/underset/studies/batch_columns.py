"""Where each figure of the batch stands in its row: vehicles, lifts, stacks and policy as numbers.

SI throughout; vehicles in V (x forward from the front axle, y left), lifts in L. NaN stands for
*not known*. Corners LF, RF, LR, RR; arms left front, right front, left rear, right rear.
"""

from __future__ import annotations

# --- a vehicle's row: name and index go together --------------------------------------------------
VEHICLE_COLUMNS = (
    "wheelbase", "mass", "mass_tol", "cg_x", "cg_y", "cg_z", "cg_x_tol", "cg_y_tol", "cg_z_tol",
    "lf_x", "rf_x", "lr_x", "rr_x", "lf_y", "rf_y", "lr_y", "rr_y",
    "lf_up", "rf_up", "lr_up", "rr_up", "up_tol", "zone_along", "zone_across",
    "contact", "flange_thickness", "flange_depth", "battery",
    "track_front", "track_rear", "tyre_width", "tyre_diameter", "droop",
    "front_x", "rear_x", "roof", "sill", "twist",
)  # fmt: skip
WHEELBASE, MASS, MASS_TOL, CG_X, CG_Y, CG_Z, CG_X_TOL, CG_Y_TOL, CG_Z_TOL = range(9)
POINT_X, POINT_Y, POINT_UP = 9, 13, 17
UP_TOL, ZONE_ALONG, ZONE_ACROSS = 21, 22, 23
CONTACT, FLANGE_THICKNESS, FLANGE_DEPTH, BATTERY = 24, 25, 26, 27
TRACK_FRONT, TRACK_REAR, TYRE_WIDTH, TYRE_DIAMETER, DROOP = 28, 29, 30, 31, 32
FRONT_X, REAR_X, ROOF, SILL, TWIST = 33, 34, 35, 36, 37
VEHICLE_WIDTH = 38
# What may be missing without making the vehicle incomplete: the judge has an answer for each.
OPTIONAL = (FLANGE_THICKNESS, FLANGE_DEPTH, BATTERY, DROOP, SILL)

NEEDED = tuple(k for k in range(VEHICLE_WIDTH) if k not in OPTIONAL)

CONTACTS = ("flat boss", "pinch weld", "frame rail", "peg hole")
FLAT, PINCH, RAIL, PEG = range(4)

# --- a zone's row: an upright rectangle of the underbody ------------------------------------------
ZONE_COLUMNS = ("x_low", "x_high", "y_low", "y_high", "underside", "touch", "pass_under", "hv")
UNDERSIDE, TOUCH, PASS_UNDER, HIGH_VOLTAGE = 4, 5, 6, 7
ZONE_WIDTH = 8
MOST_ZONES = 8

# --- a lift's figures -----------------------------------------------------------------------------
SEAT_LOW, SEAT_HIGH, GREATEST_STACK, RATED, SPLIT_LIMIT = range(5)
CG_LOW, CG_HIGH, CARRIAGE, SPAN, EITHER_WAY, PITCH, OFFSET = range(5, 12)
ARM_LIMIT = 12  # four, in the order of arms
LIFT_WIDTH = 16

# --- a stack's row --------------------------------------------------------------------------------
FIXED, TRAVEL, PIECES, HALF_WIDTH, RATING, CLEAN, SERVES = range(7)
RANK, SLOT, SLOT_DEPTH, EDGES, CRADLE, SPACERS = range(10, 16)  # SERVES takes four
HEIGHTS, TRAVELS = 16, 20  # of up to four pieces, from the seat up
STACK_WIDTH = 24
MOST_PIECES = 4

# --- policy ---------------------------------------------------------------------------------------
POLICY = (
    "gap_arm", "least_pad_stop", "least_pad_watch", "edge_stop", "edge_watch", "push_force",
    "push_factor", "friction", "friction_clean", "level_pad", "pad_stiffness_high", "point_watch",
)  # fmt: skip
GAP, PAD_STOP, PAD_WATCH, EDGE_STOP, EDGE_WATCH, PUSH, PUSH_FACTOR = range(7)
FRICTION, FRICTION_CLEAN, LEVEL_PAD, STIFFNESS, POINT_WATCH = range(7, 12)

# --- answers --------------------------------------------------------------------------------------
ANSWER_COLUMNS = (
    "outcome", "watch", "tail_in", "window_low", "window_high", "spot", "slack", "seat",
    "front_stack", "rear_stack", "pieces", "reason", "turning",
)  # fmt: skip
ANSWER_WIDTH = len(ANSWER_COLUMNS)
NONE, FOUND, INCOMPLETE = 0.0, 1.0, 2.0
HOLDS, WATCH, NOT_KNOWN, STOPS = range(4)
# What the batch checks, in its own order; a reason is an index into this list.
REASONS = (
    "", "arm_reach", "cg_window", "stack_stock", "rated_load", "arm_load", "pad_split",
    "least_pad", "cg_edge", "push_tip", "push_unload", "stack_fit", "point_on_pad", "stack_height",
    "screw_range", "seat_height", "adapter_load", "push_slide", "point_zone", "arm_tyre",
    "arm_zone", "arm_arm", "pad_zone",
)  # fmt: skip
R_REACH, R_WINDOW, R_STOCK, R_RATED, R_ARM_LOAD, R_SPLIT, R_PAD, R_EDGE = range(1, 9)
R_TIP, R_UNLOAD, R_FIT, R_ON_PAD, R_HEIGHT, R_SCREW, R_SEAT, R_ADAPTER = range(9, 17)
R_SLIDE, R_ZONE, R_TYRE, R_ARM_ZONE, R_ARMS, R_PAD_ZONE = range(17, 23)
CHECKED = frozenset(REASONS[1:]) | {"stack_fit", "stack_stock"}
