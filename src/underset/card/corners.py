"""The four corner boxes of the card."""

from __future__ import annotations

from typing import Final

from underset.card.view import CornerBox, StackPiece
from underset.card.writer import Writer, worst_status
from underset.setting import (
    CHECKS,
    CORNERS,
    ArmSetting,
    Check,
    Evaluation,
    PadLoad,
    Piece,
    Status,
)

_OF_CORNERS: Final = ("placing", "stack", "load", "stability")
_OF_ARMS: Final = ("arm_tyre", "arm_zone", "arm_arm", "arm_column", "pad_zone", "way_in")
_SCREW_SEEN: Final = 0.0005  # m; less is a screw fully in


def corner_statuses(best: Evaluation | None) -> tuple[Status, Status, Status, Status]:
    """Worst status by corner over the checks that name it; not known when nothing was judged.

    What is not known of all pads or arms at once, as loads without a mass, is so at each corner.
    """
    if best is None:
        return (Status.NOT_KNOWN,) * 4
    lf, rf, lr, rr = (
        worst_status(c.status for c in best.checks if corner in c.where.split() or _of_all(c))
        for corner in CORNERS
    )
    return (lf, rf, lr, rr)


def _of_all(check: Check) -> bool:
    """Whether a check without an answer leaves every corner without one."""
    if check.where or check.status is not Status.NOT_KNOWN or check.name not in CHECKS:
        return False
    return CHECKS[check.name].group in _OF_CORNERS or check.name in _OF_ARMS


def corner_boxes(w: Writer, best: Evaluation) -> tuple[CornerBox, ...]:
    """One box a corner, placed as the corner lies in the plan drawing."""
    statuses = corner_statuses(best)
    return tuple(_box(w, best, i, statuses[i]) for i in range(4))


def _box(w: Writer, best: Evaluation, i: int, status: Status) -> CornerBox:
    arm, f = best.setting.arms[i], w.figures
    left, ahead = arm.pad[1] > 0.0, _ahead(best, i)
    loads = [s.pads[i] for s in best.states if s.known and sum(p.nominal for p in s.pads) > 0.0]
    return CornerBox(
        corner=CORNERS[i],
        name=w.words[f"corner.{CORNERS[i]}"],
        arm=w.words.named("arm", arm.arm),
        row=0 if left else 1,
        column=1 if ahead else 0,
        status=w.status(status),
        contact=w.words.named("contact", arm.contact),
        pieces=tuple(_piece(w, p) for p in arm.stack),
        stack_height=_stack_height(w, arm),
        tooth=w.words["corner.no_tooth"] if arm.tooth is None else str(arm.tooth),
        swing=f.angle(arm.swing),
        reach=f.length(arm.reach, unit=False),
        screw=f.fine_length(arm.screw),
        turns=w.words["corner.turns_unknown"] if arm.turns is None else f.turns(arm.turns),
        load=f.force(loads[0].nominal, unit=False) if loads else "–",
        load_range=_range(w, loads),
    )


def _ahead(best: Evaluation, i: int) -> bool:
    """Whether the corner lies toward +x of its side's two pads."""
    mate = (i + 2) % 4
    return best.setting.arms[i].pad[0] >= best.setting.arms[mate].pad[0]


def _piece(w: Writer, piece: Piece) -> StackPiece:
    height = w.figures.length(piece.top - piece.bottom)
    if piece.travel is None and piece.screw < _SCREW_SEEN:
        return StackPiece(piece.label, height, "")
    if piece.screw < _SCREW_SEEN:
        return StackPiece(piece.label, height, w.words["corner.screw_in"])
    turned = f", {_turns(w, piece.turns)}" if piece.turns is not None else ""
    out = w.words.fill("corner.screw_out", length=w.figures.fine_length(piece.screw))
    return StackPiece(piece.label, height, out + turned)


def _stack_height(w: Writer, arm: ArmSetting) -> str:
    return w.figures.length(arm.stack[-1].top - arm.stack[0].bottom) if arm.stack else "–"


def _turns(w: Writer, turns: float | None) -> str:
    if turns is None:
        return w.words["corner.turns_unknown"]
    shown = w.figures.turns(turns)
    return w.words.fill("corner.turns.one" if shown == "1" else "corner.turns.many", n=shown)


def _range(w: Writer, loads: list[PadLoad]) -> str:
    if not loads:
        return "–"
    low, high = min(p.low for p in loads), max(p.high for p in loads)
    return w.figures.load_range(low, high, unit=False)
