"""The line of one eye, written out in full from what was read: what the reader of orders reads to the same lens."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from explain.draft.taken import SIDES
from explain.optics.power import SphereCylinder
from explain.order.faults import Remark
from explain.order.typed import TypedEye


def eye_line(eye: TypedEye) -> str:
    """An eye as one line of an order, without its addition.

    >>> from explain.order.model import Prism
    >>> eye_line(TypedEye(SphereCylinder(-3.25, -0.75, 172.0), (Prism(2.0, "up"),)))
    '-3.25 -0.75 x 172 prism 2 up'
    """
    power = "balance" if eye.power is None else power_line(eye.power)
    prisms = " & ".join(f"{plain(prism.amount_prism_dpt)} {prism.base}" for prism in eye.prisms)
    return f"{power} prism {prisms}" if prisms else power


def power_line(power: SphereCylinder) -> str:
    """A power as it is typed; plano for none at all.

    >>> power_line(SphereCylinder(0.0)), power_line(SphereCylinder(-2.0))
    ('plano', '-2.00 DS')
    """
    sphere = signed(power.sphere_dpt) if power.sphere_dpt else "plano"
    if not power.cylinder_dpt:
        return sphere if sphere == "plano" else f"{sphere} DS"
    return f"{sphere} {signed(power.cylinder_dpt)} x {plain(power.axis_deg)}"


def signed(power_dpt: float) -> str:
    """A power with its sign and two places, three where it has them: what was typed is not rounded."""
    two = f"{power_dpt:+.2f}"
    return two if abs(float(two) - power_dpt) < 1e-9 else f"{power_dpt:+.3f}"


def plain(number: float) -> str:
    """A number without needless places: 2, 0.5, 3.083."""
    return f"{round(number, 3):g}"


def add_value(adds: Mapping[str, float]) -> str | dict[str, str] | None:
    """Additions [D] by side as they stand in an order: one for both eyes, a group where they differ, None for none."""
    if not adds:
        return None
    values = {side: f"{adds[side]:.2f}" for side in SIDES if side in adds}
    same = len(values) == 2 and len(set(values.values())) == 1
    return next(iter(values.values())) if same else values


def mixed_forms(eyes: Iterable[TypedEye | None]) -> tuple[Remark, ...]:
    """The remark on a pair with one cylinder in plus and one in minus form."""
    cylinders = [eye.power.cylinder_dpt for eye in eyes if eye and eye.power and eye.power.cylinder_dpt]
    if len(cylinders) < 2 or cylinders[0] * cylinders[1] > 0:
        return ()
    return (
        Remark(
            "one cylinder is plus and the other minus",
            "One prescriber writes both eyes in the same form, so one of the signs may be a slip.",
            "Look at both signs on the prescription; if they are right, leave them.",
            "forms",
        ),
    )
