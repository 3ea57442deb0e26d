"""English words of the card, the drawings and the working."""

from __future__ import annotations

from typing import Final

WORDS: Final[dict[str, str]] = {
    "title": "Setting card",
    "invented": "INVENTED SAMPLE DATA – not for use",
    "advice": (
        "This page advises. The vehicle maker's service information, the lift maker's"
        " instructions, local law and a qualified inspector decide. No verdict is a permission."
    ),
    # outcome and status
    "outcome.found": "setting found",
    "outcome.unusable": "not usable as it stands",
    "outcome.none": "no setting exists",
    "outcome.limit": "search stopped at its limit",
    "outcome.incomplete": "figures are missing",
    "status.holds": "holds",
    "status.watch": "watch",
    "status.not known": "not known",
    "status.stops": "stops",
    "verdict.holds.one": (
        "A setting was found and every check holds. People still sign the hold points."
    ),
    "verdict.holds.many": (
        "A setting was found and every check holds in all {n} states. People still sign the"
        " hold points."
    ),
    "verdict.watch.one": "A setting was found; {n} check wants watching.",
    "verdict.watch.many": "A setting was found; {n} checks want watching.",
    "verdict.unknown.one": (
        "A setting was found, but {n} check is not known. Do not lift before it is settled."
    ),
    "verdict.unknown.many": (
        "A setting was found, but {n} checks are not known. Do not lift before they are settled."
    ),
    "verdict.stops": "Do not lift: the setting stops holding at “{state}”.",
    "verdict.parked": "Do not lift: no setting exists where the vehicle stands.",
    "verdict.none.one": "Do not lift: no setting exists; {n} candidate was tried.",
    "verdict.none.many": "Do not lift: no setting exists; {n} candidates were tried.",
    "verdict.limit.one": (
        "Do not lift: the search stopped at its limit after {n} candidate; nothing is proved."
    ),
    "verdict.limit.many": (
        "Do not lift: the search stopped at its limit after {n} candidates; nothing is proved."
    ),
    "verdict.incomplete.one": (
        "Do not lift: {n} figure is missing, and without it nothing is proved."
    ),
    "verdict.incomplete.many": (
        "Do not lift: {n} figures are missing, and without them nothing is proved."
    ),
    "verdict.nothing": "Do not lift: nothing was judged, so nothing can be said.",
    # who and where
    "bay": "Bay",
    "bay.any": "any bay on file",
    "vehicle": "Vehicle",
    "job": "Job",
    "job.none": "lift only, no job on file",
    "reference.none": "not in the book",
    "date.none": "no date given",
    "spot": "Stop the front axle",
    "spot.window": "window",
    "spot.stands": "Front axle stands",
    "checks.open": "this leaves open {checks}",
    "checks.every_step": "at every step",
    "spot.measured": "as measured",
    "spot.unproved": "no window: nothing is proved while a check stops or is not known",
    "spot.unproved.mark": "{span} (not proved)",
    "spot.beyond": "past",
    "spot.before": "short of",
    "spot.column_line": "column line",
    "spot.signed": "(+ is past it)",
    "heading": "Drive in",
    "heading.nose-in": "nose first",
    "heading.nose_in": "nose first",
    "heading.tail-in": "tail first",
    "heading.tail_in": "tail first",
    "heading.askew": "stands askew as measured",
    "seat": "Seat height",
    "seat.note": "all pads at once",
    "rise": "Rise at most",
    "rise.ceiling": "ceiling {height}",
    "rise.stop_bar": "stop bar {height}",
    "point_set": "Lifting points",
    # corners
    "corner.LF": "left front",
    "corner.RF": "right front",
    "corner.LR": "left rear",
    "corner.RR": "right rear",
    "arm.left_front": "left front arm",
    "arm.right_front": "right front arm",
    "arm.left_rear": "left rear arm",
    "arm.right_rear": "right rear arm",
    "corner.tooth": "tooth",
    "corner.no_tooth": "no teeth",
    "corner.swing": "swing",
    "corner.reach": "reach",
    "corner.screw_in": "screw fully in",
    "corner.screw_out": "screw out {length}",
    "corner.turns.one": "{n} turn",
    "corner.turns.many": "{n} turns",
    "corner.turns_unknown": "not known",
    "contact.flat boss": "flat boss",
    "contact.pinch weld": "pinch weld",
    "contact.frame rail": "frame rail",
    "contact.peg hole": "peg hole",
    "zone.skirt": "skirt",
    "zone.running board": "running board",
    "zone.battery": "battery",
    "zone.tank": "tank",
    "zone.exhaust": "exhaust",
    "zone.line": "line",
    "zone.floor": "floor",
    "support.stand": "stand",
    "support.table": "table",
    "support.jack": "jack",
    # headings and labels of the page
    "titles.corners": "Arms and stacks",
    "titles.states": "States of the job, in {mass}, {length} and {force}",
    "titles.step": "step",
    "titles.mass": "mass",
    "titles.cg": "CG aft",
    "titles.side": "CG left",
    "titles.least": "least pad",
    "titles.split": "front : rear",
    "titles.status": "status",
    "titles.checks": "What to watch",
    "titles.nearest_checks": "What stops the nearest miss ({bay}, {heading})",
    "titles.hold_points": "Hold points: tick or sign",
    "titles.signature": "sign",
    "titles.cautions": "Cautions",
    "titles.sources": "Sources",
    "titles.refusals": "What refused",
    "titles.remedies": "What would make it work",
    "titles.missing": "What is missing",
    "titles.tooth": "tooth",
    "titles.swing": "swing",
    "titles.reach": "reach, {length}",
    "titles.turns": "screw turns",
    "titles.load": "load, {force}",
    "titles.stack": "stack",
    "titles.more": "{n} more in the working",
    "titles.scan": "scan for the record",
    "titles.page": "page {n} of {m}",
    # drawings
    "titles.plan_view": "Bay from above",
    "titles.side_view": "Bay from its right side",
    "draw.front": "FRONT",
    "titles.front_view": "Bay from its entrance",
    "draw.drive_in": "drive in",
    "draw.vehicle": "vehicle",
    "draw.cg": "CG",
    "draw.cg_long": "centre of gravity with its tolerance",
    "draw.roof_unknown": "height not known",
    "draw.ceiling": "ceiling at",
    "draw.stop_bar": "stop bar at",
    "draw.rise": "rise at most",
    "draw.told": "To scale {ratio} on paper. Vehicle {heading}",
    "draw.frame_lift": "Frame L, the lift",
    "draw.frame_lift.told": (
        "Origin on the floor midway between the columns; x the way a vehicle drives in, y left,"
        " z up."
    ),
    "draw.frame_vehicle": "Frame V, the vehicle",
    "draw.frame_vehicle.told": (
        "Origin on the floor under the middle of the front axle; x forward, y left, z up."
        " Records say aft (against x), side (along y) and up."
    ),
    "draw.pose": "Pose of V in L",
    "draw.pose.told": "Spot s, sideways t and yaw psi place the vehicle in the bay.",
    "draw.arm_angles": "Arm angles",
    "draw.arm_angles.told": (
        "Swing phi from straight inward toward the arm's own end; teeth every pitch p; reach r."
    ),
    "draw.stack_heights": "Stack heights",
    "draw.stack_heights.told": (
        "Seat height z plus the stack's height h equals the height of the lifting point, at all"
        " four arms."
    ),
    "draw.inward": "straight inward",
    "draw.own_end": "toward its own end",
    "draw.seat": "seat",
    "draw.floor": "floor",
    "draw.spacer": "spacer",
    "draw.head": "head",
    "draw.screw": "screw",
    "draw.point": "lifting point",
    # groups of checks
    "group.placing": "Placing",
    "group.stack": "Stacks",
    "group.load": "Loads",
    "group.stability": "Stability",
    "group.clearance": "Clearances",
    "group.papers": "Papers",
    "group.intake": "Intake",
    "group.other": "Other checks",
    # cautions
    "caution.points": (
        "Lift only at the maker's points for this exact model. Published points assume a"
        " complete vehicle."
    ),
    "caution.limits": (
        "Never exceed the lift's rated load, any one arm's share or the marked front to rear"
        " split, at any step."
    ),
    "caution.restraints": (
        "Every arm restraint fully in mesh before the load is taken. No restraint, no lift."
    ),
    "caution.all_pads": (
        "All four pads carry. If a pad can be turned by hand, stop, lower and set again."
    ),
    "caution.just_clear": (
        "Lift until the tyres are just clear: look, push both ends. Again at about 1 m (40 in)."
        " Then set down on the locks."
    ),
    "caution.parts_off": (
        "Before a heavy part comes off: support the opposite end, secure the same end, and do"
        " not move the lift afterwards without a fresh check."
    ),
    "caution.surface": (
        "Pads on flat, clean metal, the point near the pad's middle. Replace worn rubber. No"
        " wood, no home-made pieces."
    ),
    "caution.heavy_end": "The heavy end belongs on the short arms.",
    "caution.unload": "Unload first. Ask about hidden load, tools, fuel and water.",
    "caution.battery": "Keep pads, arms and raised edges off the battery case.",
    "caution.rust": "Rust or repair at a lifting point: do not lift there.",
    "caution.papers": "Examination overdue or daily check not done: do not use the lift.",
    "caution.bolts": "Undo high-effort bolts on the floor where you can.",
    "caution.space": "Keep 0.5 m (20 in) clear of fixed things. Watch feet when lowering.",
    "caution.estimates": "The centre of gravity is an estimate. Measured loads win.",
    "caution.floor": "Floor and anchors: only the installer's certificate counts.",
    # plain text and working
    "text.hold_points": "{n} hold points, {signed} of them to be signed, are on the card.",
    "titles.nearest": "Nearest miss",
    "titles.notes": "Remarks",
    "work.title": "Working",
    "work.summary": "Summary",
    "work.setting": "The setting",
    "work.arms": "Arms",
    "work.stacks": "Stacks",
    "work.states": "States, loads and residuals",
    "work.checks": "Checks",
    "work.search": "The search",
    "work.formula": "Formula",
    "work.state": "State",
    "work.where": "Where",
    "work.demand": "Found",
    "work.limit": "Limit",
    "work.margin": "Margin",
    "work.nominal": "Nominal",
    "work.status": "Status",
    "work.inputs": "Figures used",
    "work.item": "Item",
    "work.value": "Value",
    "work.low": "least",
    "work.high": "greatest",
    "work.mass": "Mass",
    "work.cg": "CG in L: x, y, z",
    "work.cg_vehicle": "CG from the front axle: aft, left, up",
    "work.pads": "Pad loads",
    "work.supports": "Stands and tables",
    "work.void": "Mass or balance is not known: no figure of this state counts.",
    "work.residuals": "Residuals: force, moment about x, about y",
    "work.residuals.note": "What equilibrium leaves over; near zero, or the result is void.",
    "work.corner": "Corner",
    "work.arm": "Arm",
    "work.pad": "Pad centre x, y in L",
    "work.off": "Off the point: along, across",
    "work.piece": "Piece",
    "work.from": "from",
    "work.to": "to",
    "work.spot": "Spot (front axle from the column line)",
    "work.window": "Spot window, re-toothing allowed",
    "work.fixed": "Spot window with these teeth",
    "work.sideways": "Sideways",
    "work.yaw": "Yaw",
    "work.candidates": "Candidates",
    "work.choices": "Settings found, best first",
    "work.record": "Record",
    "work.units": "Formulas are in SI: m, kg, N, rad. Symbols are those of the notation page.",
    "work.count": "count",
    "work.slack": "least margin, ratio",
    "work.screw": "screw",
    "work.turns": "turns",
    "work.number": "no.",
    "work.hold_point": "hold point",
    "work.how": "how",
    "work.facts": "figures",
    "work.sign": "signed",
    "work.hold_points": "Hold points",
    "work.cautions": "Cautions",
}
