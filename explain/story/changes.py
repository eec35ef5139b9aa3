"""Changes: what is different from the old pair, in figures and plain words."""

from __future__ import annotations

from explain.language import _, in_context, later, plural
from explain.optics.power import SphereCylinder, minus_cylinder_form, power_in_meridian_dpt
from explain.order.model import EyePrescription, Order
from explain.order.previous import EyeChange, eye_changes
from explain.story.blocks import Block, Paragraph, Table
from explain.story.sides import each_lens, eye_name, the_lens
from explain.story.wording import degrees, dioptres, plain, rounded

FIRST = later("This is a first pair, so all of it is new.")
UNKNOWN = later("We do not know the old pair, so we could not compare them.")
_CHANGED_BY = {
    "more minus": later("{power} more minus"),
    "less minus": later("{power} less minus"),
    "more plus": later("{power} more plus"),
    "less plus": later("{power} less plus"),
}
_CHANGED_UP_TO = {
    "more minus": later("up to {power} more minus"),
    "less minus": later("up to {power} less minus"),
    "more plus": later("up to {power} more plus"),
    "less plus": later("up to {power} less plus"),
}
"""How a power changed, by direction: where it changed alike all round, and where it changed most in 1 direction."""


def change_blocks(order: Order) -> list[Block]:
    """What changed since the old pair; a sentence where there was none, or where it is not known."""
    if order.lenses.design == "plano":
        return []
    changes = eye_changes(order)
    rows = tuple((eye_name(change.side), power_text(change.old), change_text(change)) for change in changes)
    table: list[Block] = [Table(_("What changed"), (_("Eye"), _("Old power"), _("Now")), rows)] if rows else []
    text = " ".join(_sentences(order, bool(rows)))
    return [*table, *([Paragraph(text)] if text else []), *_large(changes)]


def _sentences(order: Order, compared: bool) -> list[str]:  # noqa: FBT001
    if order.is_first_pair:
        return [_(FIRST)]
    old = order.previous.design if order.previous else None
    kind = kind_text(old, order.lenses.design) if old and old != order.lenses.design else ""
    prism = prism_change_text(order)
    said = [text for text in (kind, prism) if text]
    return said if compared or kind else [_(UNKNOWN), *said]


def kind_text(old: str, new: str) -> str:
    """Say that the kind of lens changed.

    >>> kind_text("single-vision", "progressive")
    'The lens kind changed from single-vision to progressive.'
    """
    return _("The lens kind changed from {old} to {new}.", old=_kind_name(old), new=_kind_name(new))


def _kind_name(design: str) -> str:
    names = {
        "single-vision": in_context("kind of lens", "single-vision"),
        "progressive": in_context("kind of lens", "progressive"),
        "bifocal": in_context("kind of lens", "lined bifocal"),
        "reading": in_context("kind of lens", "near only"),
        "plano": in_context("kind of lens", "no power"),
    }
    return names[design]


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
    parts = (_power_part(change), _cylinder_part(change), _axis_part(change), _add_part(change))
    return ", ".join(text for text in parts if text) or in_context("power", "the same")


def _power_part(change: EyeChange) -> str:
    largest = change.largest
    if not rounded(largest.power_dpt, 2):
        return ""
    before, now = (power_in_meridian_dpt(power, largest.meridian_deg) for power in (change.old, change.new))
    said = _CHANGED_UP_TO if _has_changed_cylinder(change) else _CHANGED_BY
    return _(said[direction(before, now)], power=plain(abs(largest.power_dpt), 2))


def _has_changed_cylinder(change: EyeChange) -> bool:
    old, new = minus_cylinder_form(change.old), minus_cylinder_form(change.new)
    turned = bool(change.turn_deg) or old.axis_deg != new.axis_deg
    bent = bool(rounded(old.cylinder_dpt, 2) or rounded(new.cylinder_dpt, 2))
    return bool(rounded(new.cylinder_dpt - old.cylinder_dpt, 2)) or (bent and turned)


def direction(before_dpt: float, now_dpt: float) -> str:
    """Which way a power changed, by the sign the wearer knows: more or less, minus or plus.

    >>> direction(-1.0, -1.25), direction(2.0, 1.0), direction(-1.0, -0.5)
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
        return _("a cylinder of {power} is new", power=plain(new, 2))
    if not rounded(new, 2):
        return _("no cylinder now")
    if grown > 0:
        return _("cylinder {power} stronger", power=plain(abs(new - old), 2))
    return _("cylinder {power} weaker", power=plain(abs(new - old), 2))


def _axis_part(change: EyeChange) -> str:
    turn = change.turn_deg
    if turn is None or not rounded(turn, 0):
        return ""
    return plural("axis turned by {count} degree", "axis turned by {count} degrees", int(rounded(turn, 0)))


def _add_part(change: EyeChange) -> str:
    if change.add_dpt is None or not rounded(change.add_dpt, 2):
        return ""
    if change.add_dpt > 0:
        return _("reading power {power} more", power=plain(change.add_dpt, 2))
    return _("reading power {power} less", power=plain(-change.add_dpt, 2))


def prism_change_text(order: Order) -> str:
    """Say for which eyes the prism changed; nothing where it did not."""
    sides = [change.side for change in eye_changes(order) if rounded(change.prism_prism_dpt, 2)]
    if not sides:
        return ""
    lens = each_lens() if len(sides) > 1 else the_lens(sides[0])
    return _(_prism_sentence(order, sides), lens=lens)


def _prism_sentence(order: Order, sides: list[str]) -> str:
    old: list[EyePrescription] = [getattr(order.previous, side) for side in sides]
    new: list[EyePrescription] = [getattr(order, side) for side in sides]
    if not any(eye.prisms for eye in old):
        return later("The prism of {lens} is new.")
    if any(eye.prisms for eye in new):
        return later("The prism of {lens} changed.")
    return later("The prism of {lens} is gone.")


def _large(changes: tuple[EyeChange, ...]) -> list[Block]:
    sides = [change.side for change in changes if change.is_large]
    return [Paragraph(large_text(sides), lead=_("A large step."))] if sides else []


def large_text(sides: list[str]) -> str:
    """Say calmly that a lens changed by more than the limits, what to do and whom to ask. sides: at least one.

    >>> large_text(["right"]).split(". ")[0]
    'We count the change in the right lens as large, by our own judgment'
    """
    return _(
        "We count the change in {lens} as large, by our own judgment. Give it more time, and take extra care on "
        "stairs. If nobody told you of it, ask whoever tested the eyes.",
        lens=the_lens(sides[0]) if len(sides) == 1 else _("both lenses"),
    )
