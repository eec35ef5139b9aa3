"""Progression: how much thickness the reading power of a progressive lens takes away, by the general law."""

from __future__ import annotations

import numpy as np

from explain.optics.surfaces import Array, Figure

SHORTEST_CORRIDOR_MM = 10.0
"""Below this no usual design exists: the least fitting height, 14, less 4 for reading (from memory)."""
LONGEST_CORRIDOR_MM = 14.0
BELOW_THE_CORRIDOR_MM = 4.0
"""Height kept for reading below the corridor (corridor rule, magazine_corridor in data/sources.yaml: 4 to 5 mm)."""


def corridor_mm(fitting_height_mm: float) -> float:
    """Length of the corridor from the fitting point down to full reading power [mm]: height minus 4, from 10 to 14.

    An estimate. Source: magazine_corridor. Checked by tests/published/corridor.yaml.

    >>> corridor_mm(12), corridor_mm(17), corridor_mm(26)
    (10.0, 13.0, 14.0)
    """
    return min(LONGEST_CORRIDOR_MM, max(SHORTEST_CORRIDOR_MM, fitting_height_mm - BELOW_THE_CORRIDOR_MM))


def added_power_dpt(y_mm: Array, add_dpt: float, length_mm: float) -> Array:
    """Power added at heights counted from the fitting point [dpt]: none above it, growing evenly to the full add."""
    return add_dpt * np.clip(-y_mm / length_mm, 0.0, 1.0)


def approximate_progression_sag_mm(x_mm: Array, y_mm: Array, add_dpt: float, length_mm: float, index: Figure) -> Array:
    """Extra sag of the front of a progressive lens [mm], at points counted from the fitting point.

    The line down the middle bends by the added power, and each level line as much again: z = s(y) + x^2 P(y) /
    (2 (n - 1)), with s'' = P / (n - 1). A textbook model (from memory), not any maker's surface; far to the sides a
    real one is flatter. A laboratory's own progressive pair: tests/outside/test_laboratory_order.py.
    """
    down = np.clip(-y_mm, 0.0, None)
    ramp = np.minimum(down, length_mm)
    beyond = down - ramp
    along = ramp**3 / (6 * length_mm) + beyond * length_mm / 2 + beyond**2 / 2
    sideways = np.square(x_mm) / 2 * added_power_dpt(y_mm, 1.0, length_mm)
    return add_dpt * (along + sideways) / (1000 * (index - 1))
