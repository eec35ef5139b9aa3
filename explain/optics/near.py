"""Near: how far and how close an eye sees clearly, alone, with an add and at a task."""

from __future__ import annotations

import math

from msgspec import Struct

from explain.optics.power import SphereCylinder, difference, spherical_equivalent_dpt

WEAKEST_READER_DPT = 0.75
STRONGEST_READER_DPT = 3.50
"""The ready-made readers counted here, in steps of a quarter dioptre (common practice, no source)."""
_READER_STEPS_PER_DPT = 4


class ReadyMadeReader(Struct, frozen=True):
    """A ready-made reading lens: its power [dpt], and what it leaves uncorrected, in minus cylinder form."""

    power_dpt: float
    left_over: SphereCylinder


def far_point_m(power_dpt: float) -> float | None:
    """Distance to the furthest point seen clearly without the lens [m]; None for an eye that sees clearly far off.

    Counted from the place where power_dpt is stated: from the lens for an ordered power, from the eye for a power
    worked out at the eye. 1 / |F|, for minus powers. Source: ncert_eye. Checked by tests/published/far_point.yaml.

    >>> far_point_m(-10.0)
    0.1
    """
    return -1 / power_dpt if power_dpt < 0 else None


def far_point_from_eye_m(power_dpt: float, vertex_mm: float) -> float | None:
    """Distance from the eye to the furthest clear point [m], for a power stated at a lens vertex_mm before the eye.

    Source: phys_2cm. Checked by tests/published/far_point_with_gap.yaml.

    >>> round(far_point_from_eye_m(-0.045, 20), 2)
    22.24
    """
    from_lens = far_point_m(power_dpt)
    return None if from_lens is None else from_lens + vertex_mm / 1000


def power_for_far_point_dpt(distance_m: float) -> float:
    """Power [dpt] that lets an eye see far off when it is clear only to distance_m. Both at the same place.

    >>> power_for_far_point_dpt(0.10)
    -10.0
    """
    return -1 / distance_m


def near_point_m(power_dpt: float, amplitude_dpt: float) -> float | None:
    """Nearest distance seen clearly without the lens [m]; None when no distance is.

    power_dpt is what the eye needs for far, amplitude_dpt its focusing range (0 or more), both at the eye.
    1 / (amplitude - power). Source: ncert_eye. Checked by tests/published/near_point.yaml.

    >>> near_point_m(0.0, 4.0)
    0.25
    """
    reach = amplitude_dpt - power_dpt
    return 1 / reach if reach > 0 else None


def near_point_without_glasses_m(power_dpt: float, reads_at_m: float, vertex_mm: float) -> float | None:
    """Nearest clear distance from the eye without glasses [m], from where the glasses let it read.

    power_dpt: the glasses, vertex_mm before the eye; reads_at_m counted from the eye. None when even far things
    are not clear without them. Source: phys_2cm. Checked by tests/published/near_point_with_gap.yaml.

    >>> round(near_point_without_glasses_m(1.75, 0.25, 20), 2)
    0.4
    """
    image_dpt = power_dpt - 1 / (reads_at_m - vertex_mm / 1000)
    return -1 / image_dpt + vertex_mm / 1000 if image_dpt < 0 else None


def amplitude_dpt(near_m: float, far_m: float = math.inf) -> float:
    """Focusing range of an eye [dpt] from its nearest and furthest clear distance: 1 / near - 1 / far.

    Source: qa_amplitude. Checked by tests/published/amplitude.yaml.

    >>> amplitude_dpt(0.20, 1.00)
    4.0
    """
    return 1 / near_m - 1 / far_m


def average_amplitude_dpt(age_years: float) -> float:
    """Average focusing range at an age [dpt], never below 0: Hofstetter, 18.5 - 0.3 age.

    A rule of thumb from old surveys; people differ by a dioptre and more. Source: hofstetter_amplitude.

    >>> round(average_amplitude_dpt(45), 2)
    5.0
    """
    return max(0.0, 18.5 - 0.3 * age_years)


def minimum_amplitude_dpt(age_years: float) -> float:
    """Least usual focusing range at an age [dpt], never below 0: Hofstetter, 15 - 0.25 age.

    Source: hofstetter_amplitude. Checked by tests/published/amplitude_by_age.yaml.

    >>> minimum_amplitude_dpt(40)
    5.0
    """
    return max(0.0, 15 - 0.25 * age_years)


def farthest_clear_cm(add_dpt: float) -> float:
    """Furthest distance seen clearly through an add [cm], the eye corrected for far: 100 / add. The add is above 0.

    >>> farthest_clear_cm(2.50)
    40.0
    """
    return 100 / add_dpt


def clear_near_range_cm(add_dpt: float, amplitude_dpt: float) -> tuple[float, float]:
    """Nearest and furthest clear distance through an add [cm], the eye corrected for far, all its focus used.

    100 / (add + amplitude) to 100 / add. Source: qa_range. Checked by tests/published/clear_near_range.yaml.

    >>> [round(end) for end in clear_near_range_cm(2.25, 3.50)]
    [17, 44]
    """
    return 100 / (add_dpt + amplitude_dpt), farthest_clear_cm(add_dpt)


def working_distance_cm(add_dpt: float, amplitude_dpt: float, fraction_used: float) -> float:
    """Distance in focus while only a fraction (0 to 1) of the focusing range is used [cm].

    100 / (add + fraction amplitude). Infinite when nothing is left to focus with. Source: mrco_9_8. Checked by
    tests/published/comfortable_distance.yaml.

    >>> working_distance_cm(0.0, 1.5, 1 / 3)
    200.0
    """
    focus = add_dpt + fraction_used * amplitude_dpt
    return 100 / focus if focus > 0 else math.inf


def add_for_distance_dpt(distance_cm: float, amplitude_dpt: float, fraction_used: float) -> float:
    """Add needed at a distance while only a fraction (0 to 1) of the focusing range is used [dpt], 0 or more.

    >>> round(add_for_distance_dpt(100, 1.5, 1 / 3), 2)
    0.5
    """
    return max(0.0, 100 / distance_cm - fraction_used * amplitude_dpt)


def task_power_dpt(distance_power_dpt: float, task_cm: float, amplitude_dpt: float, fraction_used: float) -> float:
    """Power of a lens made for one distance [dpt]: the far power and the add that distance needs.

    Source: mrco_9_8. Checked by tests/published/task_power.yaml.

    >>> round(task_power_dpt(-3.00, 100, 1.5, 1 / 3), 2)
    -2.5
    """
    return distance_power_dpt + add_for_distance_dpt(task_cm, amplitude_dpt, fraction_used)


def add_change_dpt(from_cm: float, to_cm: float) -> float:
    """How an add changes when the task moves from one distance to another [dpt]; minus when it moves away.

    Source: cards_clinical. Checked by tests/published/add_change.yaml.

    >>> round(add_change_dpt(40, 67), 2)
    -1.01
    """
    return 100 / to_cm - 100 / from_cm


def nearest_ready_made_reader(near_power: SphereCylinder) -> ReadyMadeReader | None:
    """Ready-made reader closest to a near power, and what it leaves uncorrected; None when none is sold.

    The spherical equivalent to the nearest quarter dioptre (half-way goes to the weaker), from +0.75 to +3.50
    (common practice, no source). It says nothing about where the lens centres sit.

    >>> nearest_ready_made_reader(SphereCylinder(2.25, -0.50, 180))
    ReadyMadeReader(power_dpt=2.0, left_over=SphereCylinder(sphere_dpt=0.25, cylinder_dpt=-0.5, axis_deg=180.0))
    """
    quarters = math.ceil(spherical_equivalent_dpt(near_power) * _READER_STEPS_PER_DPT - 0.5)
    reader_dpt = quarters / _READER_STEPS_PER_DPT
    if not WEAKEST_READER_DPT <= reader_dpt <= STRONGEST_READER_DPT:
        return None
    return ReadyMadeReader(reader_dpt, difference(near_power, SphereCylinder(reader_dpt)))
