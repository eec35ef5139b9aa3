"""Ink: ways written all at once read as those written step by step."""

import numpy as np
import pytest

from explain.charts import ink


@pytest.mark.parametrize("reach", [3.0, 90.0, 99.95, 400.0, 5000.0])
def test_many_points_are_written_as_few_are(reach, monkeypatch):
    points = np.random.default_rng(7).uniform(-reach, reach, (60, 2))
    at_once = ink.way(points.tolist(), closed=True), ink.way(points)
    monkeypatch.setattr(ink, "_MANY", 1000)
    assert at_once == (ink.way(points.tolist(), closed=True), ink.way(points))
