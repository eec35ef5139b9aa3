"""What a finished pair's measurements give away: which check looks copied, and which does not."""

from __future__ import annotations

import pytest

from explain.site.checking import check
from tests.story.invented import write_order, write_shop

PROGRESSIVE = {"design": "progressive"}
NEAR = {"add": "2.00", "heights": "20 / 20"}
AS_ORDERED = {"right": "-4.00 DS", "left": "-3.00 DS", "pd": "31 / 31"}


@pytest.fixture
def doubts_of(tmp_path):
    def doubts(**changes):
        write_shop(tmp_path)
        (result,) = check([write_order(tmp_path, **changes)])
        assert result.faults == ()
        return [doubt for doubt in result.doubts if "exactly as ordered" in doubt.message]

    return doubts


@pytest.mark.parametrize(
    "changes",
    [
        {"checked": AS_ORDERED},
        {"checked": {**AS_ORDERED, "left": "-3.00 +0.00 x 90"}},
        {"prescription": NEAR, "lenses": PROGRESSIVE, "checked": AS_ORDERED | NEAR},
        {"prescription": {"right": "-4.00 -1.00 x 90"}, "checked": {"right": "-5.00 +1.00 x 180", "left": "-3.00 DS"}},
    ],
    ids=["powers and distances", "a cylinder of nothing", "progressive", "the other form"],
)
def test_a_check_without_the_least_difference_looks_copied(doubts_of, changes):
    (doubt,) = doubts_of(**changes)

    assert "copied from the order" in doubt.advice
    assert doubt.excerpt == "checked:"


@pytest.mark.parametrize(
    "changes",
    [
        {"checked": AS_ORDERED | {"pd": "31 / 31.5"}},
        {"checked": AS_ORDERED | {"left": "-3.00 -0.12 x 90"}},
        {"checked": {"right": "-4.00 DS", "left": "-3.00 DS"}},
        {
            "prescription": {"right": None, "left": None, "heights": "20 / 20"},
            "lenses": {"design": "plano"},
            "checked": {"right": "plano", "left": "plano", "pd": "31 / 31", "heights": "20 / 20"},
        },
        {},
    ],
    ids=["a distance differs", "a cylinder came in", "two round figures only", "plano", "nothing measured"],
)
def test_a_check_that_cannot_tell_is_left_alone(doubts_of, changes):
    assert doubts_of(**changes) == []
