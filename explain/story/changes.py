"""Changes: what is different from the old pair, in figures and plain words."""

from __future__ import annotations

from explain.optics.power import SphereCylinder, minus_cylinder_form, power_in_meridian_dpt
from explain.order.model import EyePrescription, Order
from explain.order.previous import EyeChange, eye_changes
from explain.story.blocks import Block, Paragraph, Table
from explain.story.prescription import side_name
from explain.story.wording import degrees, dioptres, listed, plain, rounded

KINDS = {
    "single-vision": "single-vision",
    "progressive": "progressive",
    "bifocal": "lined bifocal",
    "reading": "near only",
    "plano": "no power",
}
FIRST = "This is a first pair, so all of it is new."
UNKNOWN = "We do not know the old pair, so we could not compare them."


def change_blocks(order: Order) -> list[Block]:
    """What changed since the old pair; a sentence where there was none, or where it is not known."""
    if order.lenses.design == "plano":
        return []
    changes = eye_changes(order)
    rows = tuple((side_name(change.side), power_text(change.old), change_text(change)) for change in changes)
    table: list[Block] = [Table("What changed", ("Eye", "Old power", "Now"), rows)] if rows else []
    text = " ".join(_sentences(order, bool(rows)))
    return [*table, *([Paragraph(text)] if text else []), *_large(changes)]


def _sentences(order: Order, compared: bool) -> list[str]:  # noqa: FBT001
    if order.is_first_pair:
        return [FIRST]
    old = order.previous.design if order.previous else None
    kind = kind_text(old, order.lenses.design) if old and old != order.lenses.design else ""
    prism = prism_change_text(order)
    said = [text for text in (kind, prism) if text]
    return said if compared or kind else [UNKNOWN, *said]


def kind_text(old: str, new: str) -> str:
    """Say that the kind of lens changed.

    >>> kind_text("single-vision", "progressive")
    'The lens kind changed from single-vision to progressive.'
    """
    return f"The lens kind changed from {KINDS[old]} to {KINDS[new]}."


def change_numbers(order: Order) -> dict[str, dict[str, float | None]]:
    """Figures of what changed, by side, in full precision; empty where nothing can be compared."""
    return {
        change.side: {
            "largest_change_dpt": change.largest.power_dpt,
            "largest_at_deg": change.largest.meridian_deg,
            "axis_turn_deg": change.turn_deg,
            "add_change_dpt": change.add_dpt,
            "prism_change_prism_dpt": change.prism_prism_dpt,
        }
        for change in eye_changes(order)
    }


def power_text(power: SphereCylinder) -> str:
    """Write a power as on a prescription, in minus cylinder form.

    >>> power_text(SphereCylinder(-2.00, 1.00, 80)), power_text(SphereCylinder(0.0))
    ('−1.00 −1.00 x 170', '0.00')
    """
    same = minus_cylinder_form(power) if rounded(power.cylinder_dpt, 2) else power
    if not rounded(same.cylinder_dpt, 2):
        return dioptres(same.sphere_dpt)
    return f"{dioptres(same.sphere_dpt)} {dioptres(same.cylinder_dpt)} x {degrees(same.axis_deg)}"


def change_text(change: EyeChange) -> str:
    """Say how one lens changed: where it changed most, its cylinder, its axis and its reading power."""
    parts = [text for text in (_power_part(change), _cylinder_part(change), _axis_part(change)) if text]
    if change.add_dpt is not None and rounded(change.add_dpt, 2):
        parts.append(f"reading power {plain(abs(change.add_dpt), 2)} {'more' if change.add_dpt > 0 else 'less'}")
    return ", ".join(parts) or "the same"


def _power_part(change: EyeChange) -> str:
    largest = change.largest
    if not rounded(largest.power_dpt, 2):
        return ""
    before, now = (power_in_meridian_dpt(power, largest.meridian_deg) for power in (change.old, change.new))
    up_to = "up to " if _has_changed_cylinder(change) else ""
    return f"{up_to}{plain(abs(largest.power_dpt), 2)} {direction_words(before, now)}"


def _has_changed_cylinder(change: EyeChange) -> bool:
    old, new = minus_cylinder_form(change.old), minus_cylinder_form(change.new)
    turned = bool(change.turn_deg) or old.axis_deg != new.axis_deg
    bent = bool(rounded(old.cylinder_dpt, 2) or rounded(new.cylinder_dpt, 2))
    return bool(rounded(new.cylinder_dpt - old.cylinder_dpt, 2)) or (bent and turned)


def direction_words(before_dpt: float, now_dpt: float) -> str:
    """Say which way a power changed, in the sign the wearer knows.

    >>> direction_words(-1.0, -1.25), direction_words(2.0, 1.0), direction_words(-1.0, -0.5)
    ('more minus', 'less plus', 'less minus')
    """
    if now_dpt > before_dpt:
        return "less minus" if rounded(now_dpt, 2) <= 0 else "more plus"
    return "less plus" if rounded(now_dpt, 2) >= 0 else "more minus"


def _cylinder_part(change: EyeChange) -> str:
    old, new = abs(change.old.cylinder_dpt), abs(change.new.cylinder_dpt)
    grown = rounded(new - old, 2)
    if not grown:
        return ""
    if not rounded(old, 2):
        return f"a cylinder of {plain(new, 2)} is new"
    if not rounded(new, 2):
        return "no cylinder now"
    return f"cylinder {plain(abs(new - old), 2)} {'stronger' if grown > 0 else 'weaker'}"


def _axis_part(change: EyeChange) -> str:
    turn = change.turn_deg
    if turn is None or not rounded(turn, 0):
        return ""
    return f"axis turned by {plain(turn, 0)} degree{'' if rounded(turn, 0) == 1 else 's'}"


def prism_change_text(order: Order) -> str:
    """Say for which eyes the prism changed; nothing where it did not."""
    sides = [change.side for change in eye_changes(order) if rounded(change.prism_prism_dpt, 2)]
    if not sides:
        return ""
    whose = "each lens" if len(sides) > 1 else f"the {sides[0]} lens"
    return f"The prism of {whose} {_prism_verb(order, sides)}."


def _prism_verb(order: Order, sides: list[str]) -> str:
    old: list[EyePrescription] = [getattr(order.previous, side) for side in sides]
    new: list[EyePrescription] = [getattr(order, side) for side in sides]
    if not any(eye.prisms for eye in old):
        return "is new"
    return "changed" if any(eye.prisms for eye in new) else "is gone"


def _large(changes: tuple[EyeChange, ...]) -> list[Block]:
    sides = [change.side for change in changes if change.is_large]
    return [Paragraph(large_text(sides), lead="A large step.")] if sides else []


def large_text(sides: list[str]) -> str:
    """Say calmly that a lens changed by more than the limits, what to do and whom to ask. sides: at least one.

    >>> large_text(["right"]).split(". ")[0]
    'We count the change in the right lens as large, by our own judgment'
    """
    whose = f"the {listed(sides)} lens" if len(sides) == 1 else "both lenses"
    return (
        f"We count the change in {whose} as large, by our own judgment. Give it more time, and take extra care on "
        "stairs. If nobody told you of it, ask whoever tested the eyes."
    )
