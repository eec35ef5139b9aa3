"""Diary: fourteen days to tick, dated over the ends of months and years."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.story.diary import (
    DAYS,
    HELPS,
    STAGES,
    FirstDay,
    day_text,
    diary,
    first_day,
    hours_text,
    note_text,
    recheck_text,
)
from explain.story.wording import Place

US = Place("en_US", "USD")
MEASURED = {"right": "-4.00 DS", "left": "-3.00 DS"}
ADD = {"add": "1.75", "heights": "18 / 18"}


def rows_of(told):
    return [row for stage in told.stages for row in stage.rows]


def test_a_diary_has_14_rows_numbered_from_1(pair_of, place):
    told = diary(pair_of().order, place, slow_start=False)

    assert [row[0].rstrip(": _") for row in rows_of(told)] == [str(day) for day in range(1, 15)]
    assert [len(stage.rows) for stage in told.stages] == [2, 5, 7]


def test_the_stages_hold_every_day_once():
    assert [day for start, end in STAGES for day in range(start, end + 1)] == list(range(1, DAYS + 1))
    assert all(len(helps) == len(STAGES) for helps in HELPS.values())


@pytest.mark.parametrize(
    ("design", "eyes"), [("single-vision", {}), ("progressive", ADD), ("bifocal", ADD), ("reading", ADD)]
)
@pytest.mark.parametrize("slow", [True, False])
def test_every_row_has_a_cell_for_every_column(pair_of, place, design, eyes, slow):
    told = diary(pair_of(prescription=eyes, lenses={"design": design}).order, place, slow_start=slow)

    assert {len(row) for row in rows_of(told)} == {len(told.columns)}
    assert ("Hours" in told.columns) == slow


@pytest.mark.parametrize(
    ("keys", "day", "reckoned_from"),
    [
        ({}, None, ""),
        ({"checked": MEASURED}, None, ""),
        ({"checked": {**MEASURED, "on": "2026-10-09"}}, date(2026, 10, 12), "checked"),
        ({"sent": "2026-10-30"}, date(2026, 11, 2), "sent"),
        ({"checked": {**MEASURED, "on": "2026-12-28"}, "sent": "2026-12-30"}, date(2027, 1, 2), "sent"),
    ],
)
def test_day_1_is_3_days_after_sending_or_else_after_the_check(pair_of, keys, day, reckoned_from):
    assert first_day(pair_of(**keys).order) == FirstDay(day, reckoned_from)


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (date(2026, 10, 12), "14: Oct 25"),
        (date(2026, 10, 25), "14: Nov 7"),
        (date(2026, 12, 25), "14: Jan 7"),
        (date(2028, 2, 20), "14: Mar 4"),  # a leap year
        (date(2027, 2, 20), "14: Mar 5"),
    ],
)
def test_dates_run_over_the_end_of_a_month_and_a_year(first, last):
    assert day_text(14, first, US) == last


@given(st.dates(date(2000, 1, 1), date(2099, 1, 1)), st.integers(1, 13))
def test_each_day_is_followed_by_the_next(first, day):
    assert day_text(day + 1, first, US).split(": ")[1] == day_text(1, first + timedelta(days=day), US).split(": ")[1]


def test_without_a_date_the_first_day_is_left_to_write():
    assert [day_text(day, None, US) for day in (1, 2, 14)] == ["1: ____", "2", "14"]
    assert note_text(FirstDay(None, "")).startswith("Write the date")


def test_a_date_is_written_as_the_place_writes_it():
    assert day_text(1, date(2026, 10, 12), Place("en_GB", "GBP")) == "1: 12 Oct"


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ("2026-10-09", "October 26, 2026"),
        ("2026-12-20", "January 6, 2027"),
        (None, "2 weeks after your first day with them"),
    ],
)
def test_the_day_to_call_is_14_days_after_the_first(pair_of, place, sent, words):
    assert recheck_text(pair_of(sent=sent).order, place) == words


def test_hours_grow_day_by_day_to_a_whole_day():
    hours = [hours_text(day) for day in range(1, DAYS + 1)]

    assert hours[:3] == ["1 to 2", "2 to 4", "3 to 6"]
    assert hours[5:7] == ["6 to 12", "all day"]
    assert set(hours[6:]) == {"all day"}
