"""Vertex: what changes when a lens sits nearer to the eye or further from it."""

from __future__ import annotations

from explain.optics.power import SphereCylinder


def effective_power_dpt(power_dpt: float, moved_away_mm: float) -> float:
    """What a lens does at its old place after it moved away from the eye [dpt]: F / (1 - x F).

    A plus lens gets stronger, a minus lens weaker. moved_away_mm below 0: towards the eye. Exact, while x F is
    below 1. Source: odq_q10. Checked by tests/published/effective_power.yaml.

    >>> round(effective_power_dpt(5.00, 20), 2)
    5.56
    """
    return power_dpt / (1 - moved_away_mm / 1000 * power_dpt)


def vertex_compensated_dpt(power_dpt: float, moved_towards_eye_mm: float) -> float:
    """Power to order for a new place so that the eye gets the same [dpt]: F / (1 - d F).

    d is the distance moved towards the eye, below 0 when moved away. A minus lens may be weaker nearer the eye, a
    plus lens must be stronger. Exact, while d F is below 1. Source: study_adv_32. Checked by
    tests/published/vertex_compensation.yaml.

    >>> round(vertex_compensated_dpt(-10.00, 12), 2)
    -8.93
    """
    return power_dpt / (1 - moved_towards_eye_mm / 1000 * power_dpt)


def approximate_vertex_compensated_dpt(power_dpt: float, moved_towards_eye_mm: float) -> float:
    """Compensated power by the short rule F + d F^2 [dpt]; the exact form is vertex_compensated_dpt.

    Up to 10 dpt and 4 mm it is within 0.02 dpt of the exact form. Source: cards_vertex. Checked by
    tests/published/vertex_compensation_approx.yaml.

    >>> round(approximate_vertex_compensated_dpt(13.00, -4), 3)
    12.324
    """
    return power_dpt + moved_towards_eye_mm / 1000 * power_dpt**2


def vertex_compensated(power: SphereCylinder, moved_towards_eye_mm: float) -> SphereCylinder:
    """Compensate both principal meridians of a lens for a new place; the axis stays.

    >>> moved = vertex_compensated(SphereCylinder(-10.00, -2.00, 180), 12)
    >>> round(moved.sphere_dpt, 2), round(moved.cylinder_dpt, 2), moved.axis_deg
    (-8.93, -1.56, 180)
    """
    along = vertex_compensated_dpt(power.sphere_dpt, moved_towards_eye_mm)
    across = vertex_compensated_dpt(power.sphere_dpt + power.cylinder_dpt, moved_towards_eye_mm)
    return SphereCylinder(along, across - along, power.axis_deg)


def two_lens_vergence_dpt(first_dpt: float, second_dpt: float, distance_mm: float) -> float:
    """Vergence of far light just behind the second of two thin lenses in air [dpt]: F1 / (1 - d F1) + F2.

    Source: mrco_iia. Checked by tests/published/two_lens_vergence.yaml.

    >>> round(two_lens_vergence_dpt(4.00, 4.00, 100), 1)
    10.7
    """
    return effective_power_dpt(first_dpt, distance_mm) + second_dpt
