"""Light-reactive and tinted lenses in words: ranges from their sources, never one curve, never a promise."""

from __future__ import annotations

import re

import pytest

from explain.facts import data_file
from explain.story import light
from explain.story.light import (
    clearing,
    clearing_in_the_cold,
    darkening,
    light_numbers,
    light_reactive_days,
    light_reactive_figure,
    light_reactive_sources,
)
from explain.story.wording import between, duration, warmth
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, TERMS, banned_in

FACTS = data_file("light_reactive")
CHANGES = {"sun": darkening(), "room": clearing(), "cold": clearing_in_the_cold()}
TIMES_S = (0.0, 10.0, 45.0, 60.0, 300.0, 1800.0)


def told():
    figure, days = light_reactive_figure(), light_reactive_days()
    texts = [figure.finding + ".", figure.measure, figure.note, light_reactive_sources().note]
    return [*texts, days[0].text, *(" ".join(step) for step in days[1].items), days[2].text]


def test_the_finding_is_short_and_made_from_the_longest_times():
    finding = light_reactive_figure().finding

    assert len(words_of(finding)) <= 15
    assert f"darken within {duration(FACTS['darken'][1]['seconds'][1])}" in finding
    assert f"clear within {duration(FACTS['clear_again'][1]['seconds'][1])}" in finding


def test_the_note_says_that_nothing_was_measured_and_that_sources_differ():
    note = light_reactive_figure().note

    assert "typical ranges, not measured on yours" in note
    assert "Where sources differ, we show both" in note


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
@pytest.mark.parametrize("time_s", TIMES_S)
def test_a_band_is_never_one_curve(change, time_s):
    band = change.at(time_s)

    assert band.high > 1.05 * band.low


def test_the_band_begins_clear_in_the_sun_and_dark_out_of_it():
    clear, dark = FACTS["clear"]["passed_of_100"], FACTS["dark_in_sun"]["passed_of_100"]

    assert [darkening().at(0).low, darkening().at(0).high] == pytest.approx(clear)
    assert [clearing().at(0).low, clearing().at(0).high] == pytest.approx(dark)
    assert [darkening().at(3600).low, darkening().at(3600).high] == pytest.approx(dark, abs=0.01)
    assert [clearing().at(7200).low, clearing().at(7200).high] == pytest.approx(clear, abs=0.01)


def test_the_quick_edge_is_clear_at_the_shortest_time_given_and_the_slow_edge_at_the_longest():
    trade, pages = FACTS["clear_again"]

    assert clearing().at(trade["seconds"][0]).high == pytest.approx(FACTS["clear_again_at_of_100"])
    assert clearing().at(pages["seconds"][1]).low == pytest.approx(FACTS["clear_again_at_of_100"])


def test_the_figures_of_the_trade_lie_inside_the_bands():
    for seconds in FACTS["clear_again"][0]["seconds"]:
        band = clearing().at(seconds)
        assert band.low < FACTS["clear_again_at_of_100"] <= band.high + 1e-6
    for seconds in FACTS["darken"][0]["seconds"]:
        assert darkening().done_s.low <= seconds <= darkening().done_s.high


def test_in_the_cold_they_are_darker_and_slower_at_every_time():
    for time_s in TIMES_S:
        cold, room = clearing_in_the_cold().at(time_s), clearing().at(time_s)
        assert cold.low < room.low
        assert cold.high < room.high + 1e-6


def test_the_slowest_take_6_4_times_as_long_in_the_cold_as_the_study_says():
    cold, room = clearing_in_the_cold(), clearing()

    assert cold.done_s.high == pytest.approx(6.4 * room.done_s.high)
    assert cold.at(cold.done_s.high).low == pytest.approx(FACTS["clear_again_at_of_100"])
    assert cold.at(cold.done_s.low).high == pytest.approx(FACTS["clear_again_at_of_100"])


def test_the_half_times_in_the_cold_come_out_close_to_those_of_the_study():
    """The study gives half-times 2.7 to 5.4 times as long, beside 6.4 times for the way to 80 of 100."""
    least, most = (
        cold / room
        for cold, room in zip(
            (clearing_in_the_cold().half_time_s.low, clearing_in_the_cold().half_time_s.high),
            (clearing().half_time_s.low, clearing().half_time_s.high),
            strict=True,
        )
    )

    assert least == pytest.approx(2.7)
    assert most == pytest.approx(5.4, rel=0.10)


def test_the_table_gives_the_bands_that_are_drawn():
    figure = light_reactive_figure()
    ten = next(row for row in figure.table.rows if row[0] == duration(600))

    assert list(ten[1:]) == [panel.end_label for panel in figure.drawing.panels]
    assert [panel.label for panel in figure.drawing.panels] == list(figure.table.columns[1:])
    assert figure.table.rows[0] == ("At first", "85 to 92", "15 to 40", "7 to 30")
    assert [row[0] for row in figure.table.rows[1:]] == [duration(time) for time in light.TABLE_TIMES_S[1:]]


def test_what_is_drawn_is_what_was_worked_out():
    for panel, change in zip(light_reactive_figure().drawing.panels, CHANGES.values(), strict=True):
        assert panel.points[0][0] == 0
        assert panel.points[-1][0] == light.DRAWN_MINUTES
        for minutes, low, high in panel.points:
            assert (low, high) == (change.at(60 * minutes).low, change.at(60 * minutes).high)


def test_what_is_spoken_gives_each_band():
    drawing = light_reactive_figure().drawing

    assert len(sentences_of(drawing.description)) == len(drawing.panels) == 3
    assert all(panel.end_label in drawing.description for panel in drawing.panels)


def test_each_source_is_set_beside_the_others():
    rows = dict(light_reactive_sources().rows)
    said = {label: text.replace("\u00a0", " ") for label, text in rows.items()}

    assert said["To darken in sun: the trade"] == "30 to 45 seconds"
    assert said["To darken in sun: published pages"] == "30 to 60 seconds"
    assert said["To clear indoors: the trade"] == "45 to 75 seconds"
    assert said["To clear indoors: published pages"] == "up to 5 minutes"
    heat = next(text for label, text in said.items() if "35\u00a0°C (95\u00a0°F) and above: the trade" in label)
    assert heat == "less dark than at 29 °C (85 °F) and below"
    assert "6.4 times as long as at 21 °C (70 °F)" in said.values()
    assert "11.5 of 100 less light than at 21 °C (70 °F)" in said.values()


def test_the_first_weeks_claim_no_time_to_settle_and_are_marked_as_practice():
    words, steps, note = light_reactive_days()

    assert "We found no study" in words.text
    assert "Common practice" in note.text
    assert "need not wait" in words.text
    assert "without a study" in note.text
    assert any("bright day" in how for _, how in steps.items)
    assert any(what == "Any day." and "Call us" in how for what, how in steps.items)


def test_each_band_of_the_table_is_kept_in_full():
    kept = light_numbers()
    for name, column in (("in_sun", 1), ("out_of_sun", 2), ("out_of_sun_kept_cold", 3)):
        told = [[float(end) for end in row[column].split(" to ")] for row in light_reactive_figure().table.rows]
        assert [ends[0] for ends in told] == pytest.approx(
            [band["passed_of_100"][0] for band in kept[name]["bands"]], abs=0.5
        )


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (30, "30 seconds"),
        (60, "1 minute"),
        (75, "75 seconds"),
        (90, "90 seconds"),
        (91, "2 minutes"),
        (1920, "32 minutes"),
    ],
)
def test_times_in_words(seconds, words):
    assert duration(seconds) == words


@pytest.mark.parametrize(("celsius", "words"), [(6, "6 °C (43 °F)"), (35, "35 °C (95 °F)"), (-5, "−5 °C (23 °F)")])
def test_temperatures_in_both_scales(celsius, words):
    assert warmth(celsius).replace("\u00a0", " ") == words


def test_a_range_whose_ends_round_alike_is_said_once():
    assert between(clearing().end_of_100) == "85 to 92"
    assert between(type(clearing().end_of_100)(85.1, 85.4)) == "85"


@pytest.mark.parametrize("text", told())
def test_sentences_are_short_plain_and_us(text):
    assert [sentence for sentence in sentences_of(text) if len(words_of(sentence)) > 20] == []
    assert len(sentences_of(text)) <= 3
    assert banned_in(text) == []
    assert BRITISH.findall(text) == []
    assert re.findall(r"!|--|[–—]", text) == []


def test_reading_grade():
    assert reading(told()).grade <= 8.5
    assert reading(told(), terms=TERMS).grade <= 7
