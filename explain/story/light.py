"""Light: what light-reactive lenses let through, and how fast that changes."""

from __future__ import annotations

from functools import cache
from typing import Any

from msgspec import Struct

from explain.facts import data_file
from explain.language import _, in_context, later, said_once
from explain.optics.spread import Spread
from explain.optics.tint import (
    band_after_of_100,
    darker,
    half_time_from_target_s,
    half_time_of_share_s,
    time_to_reach_s,
)
from explain.story.blocks import Block, Figure, Note, Paragraph, Steps, Table
from explain.story.drawings import FadeDrawing, FadePanel
from explain.story.wording import between, duration, plain, warmth

DRAWN_MINUTES = 10
TABLE_TIMES_S = (0, 30, 60, 120, 300, 600, 1800)
_STEPS = 40
_DAYS = (
    (later("Day 1, indoors."), later("Hold them over white paper. Both lenses should look clear, and alike.")),
    (later("Day 1, outdoors."), later("Wait 2 minutes on a bright day. Over the paper, both should be equally dark.")),
    (later("Day 1, back indoors."), later("Stand still until you see clearly. Then take stairs.")),
    (later("Days 2 to 7."), later("See what they do in shade and in the car.")),
    (later("Week 2."), later("Hold them over white paper again, as on day 1.")),
    (later("Any day."), later("Call us if the 2 sides differ, or if both are still dark after an hour indoors.")),
)


class Change(Struct, frozen=True):
    """A typical change of light-reactive lenses: where they start and end [of 100], how fast, and when it is done."""

    start_of_100: Spread
    end_of_100: Spread
    half_time_s: Spread
    done_s: Spread

    def at(self, time_s: float) -> Spread:
        """Light let through some time after the change began [of 100], from the darkest lens to the lightest."""
        return band_after_of_100(self.start_of_100, self.end_of_100, self.half_time_s, time_s)


@cache
def darkening() -> Change:
    """In the sun at room temperature. Done: the share of the darkening that data/light_reactive.yaml names."""
    facts = data_file("light_reactive")
    done, share = _reported(facts["darken"]), facts["darkened_share"]
    half_time = Spread(half_time_of_share_s(share, done.low), half_time_of_share_s(share, done.high))
    return Change(_clear(), _dark(), half_time, done)


@cache
def clearing() -> Change:
    """Out of the sun at room temperature. Done: the lens lets through what counts as clear again.

    The quick edge is the lightest lens with the shortest time that any source gives; the slow edge is the darkest with
    the longest.
    """
    done, dark, clear = _reported(data_file("light_reactive")["clear_again"]), _dark(), _clear()
    quick = half_time_from_target_s(dark.high, clear.high, _clear_again(), done.low)
    slow = half_time_from_target_s(dark.low, clear.low, _clear_again(), done.high)
    return Change(dark, clear, Spread(quick, slow), done)


@cache
def clearing_in_the_cold() -> Change:
    """Out of the sun, kept cold: from a darker start, and slower by the figures of the study.

    The quick edge takes the least lengthening of the half-time, the slow edge that of the time to be clear again.
    """
    cold, warm, clear = data_file("light_reactive")["cold"], clearing(), _clear()
    dark = darker(_dark(), clear, cold["density_gain_times"])
    quick = warm.half_time_s.low * cold["half_time_times"][0]
    slowest = warm.done_s.high * cold["time_to_80_times"]
    slow = half_time_from_target_s(dark.low, clear.low, _clear_again(), slowest)
    done = Spread(time_to_reach_s(dark.high, clear.high, quick, _clear_again()), slowest)
    return Change(dark, clear, Spread(quick, slow), done)


def _clear() -> Spread:
    return Spread(*data_file("light_reactive")["clear"]["passed_of_100"])


def _dark() -> Spread:
    return Spread(*data_file("light_reactive")["dark_in_sun"]["passed_of_100"])


def _clear_again() -> float:
    return float(data_file("light_reactive")["clear_again_at_of_100"])


def _reported(entries: list[dict[str, Any]]) -> Spread:
    """Shortest and longest time that any source gives; one that says "up to" gives no shortest."""
    times = [time for entry in entries for time in entry["seconds"] if time is not None]
    return Spread(min(times), max(times))


@said_once(4)
def light_reactive_figure() -> Figure:
    """Chart and table of how typical light-reactive lenses darken and clear, as ranges."""
    cold = clearing_in_the_cold().done_s
    minutes = between(Spread(cold.low / 60, cold.high / 60))
    finding = _(
        "Lenses like these darken within {dark} and clear within {clear}",
        dark=duration(darkening().done_s.high),
        clear=duration(clearing().done_s.high),
    )
    return Figure(
        finding=finding,
        measure=_(
            "Worked out from typical times at {room}. Kept at {cold}, they take {minutes} minutes to clear.",
            room=_room(),
            cold=_cold(),
            minutes=minutes,
        ),
        drawing=_fade_drawing(finding),
        table=_fade_table(),
        note=_(
            "These are typical ranges, not measured on yours. Where sources differ, we show both. "
            "We count them as clear when they let through {light} of 100.",
            light=plain(_clear_again(), 0),
        ),
    )


def _room() -> str:
    return warmth(data_file("light_reactive")["room_c"])


def _cold() -> str:
    return warmth(data_file("light_reactive")["cold_c"])


def _fade_drawing(finding: str) -> FadeDrawing:
    panels = tuple(_panel(name, change) for name, change in _changes())
    after = duration(60 * DRAWN_MINUTES)
    spoken = " ".join(
        _("{where}: after {time} they let through {light} of 100.", where=one.label, time=after, light=one.end_label)
        for one in panels
    )
    across = _("Light let through, of 100, from the darkest lens to the lightest")
    return FadeDrawing(finding, spoken, panels, across, _("Minutes"))


def _changes() -> tuple[tuple[str, Change], ...]:
    """The 3 changes that the figure shows, each with where it happens."""
    return (
        (_("In the sun, {warmth}", warmth=_room()), darkening()),
        (_("Out of the sun, {warmth}", warmth=_room()), clearing()),
        (_("Out of the sun, {warmth}", warmth=_cold()), clearing_in_the_cold()),
    )


def _panel(label: str, change: Change) -> FadePanel:
    times = [
        60 * DRAWN_MINUTES * (step / _STEPS) ** 2 for step in range(_STEPS + 1)
    ]  # close together where it is steep
    bands = [(time / 60, change.at(time)) for time in times]
    points = tuple((minutes, band.low, band.high) for minutes, band in bands)
    return FadePanel(label, points, between(bands[-1][1]))


def _fade_table() -> Table:
    changes = _changes()
    rows = tuple((_after(time), *(between(change.at(time)) for _name, change in changes)) for time in TABLE_TIMES_S)
    columns = (in_context("a time", "After"), *(name for name, _change in changes))
    return Table(_("Light let through, of 100"), columns, rows)


def _after(time_s: float) -> str:
    return duration(time_s) if time_s else _("At first")


@said_once(4)
def light_reactive_sources() -> Table:
    """Set side by side what each source says about speed and darkness."""
    facts = data_file("light_reactive")
    rows = (
        *((_("To darken in sun: {who}", who=_who(entry)), _seconds(entry)) for entry in facts["darken"]),
        *((_("To clear indoors: {who}", who=_who(entry)), _seconds(entry)) for entry in facts["clear_again"]),
        *_cold_rows(facts["cold"]),
        *_heat_rows(facts["heat"]),
    )
    note = _("The trade’s figures are its habit, without a study. The published pages are popular ones.")
    return Table(_("What each source says"), ("", _("It says")), rows, note, is_folded=True)


def _who(entry: dict[str, Any]) -> str:
    name: str = entry["who"]
    return _(name)


def _seconds(entry: dict[str, Any]) -> str:
    low, high = entry["seconds"]
    if low is None:
        return _("up to {time}", time=duration(high))
    return _("{low} to {high} seconds", low=plain(low, 0), high=plain(high, 0))


def _cold_rows(cold: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    count, year = str(cold["lenses"]), str(cold["year"])
    times, lower = plain(cold["time_to_80_times"], 1), plain(cold["passed_lower_of_100"], 1)
    return (
        (
            _("To clear at {warmth}: test of {count} lenses, {year}", warmth=_cold(), count=count, year=year),
            _("{times} times as long as at {warmth}", times=times, warmth=_room()),
        ),
        (
            _("Dark at {warmth}: test of {count} lenses, {year}", warmth=_cold(), count=count, year=year),
            _("{light} of 100 less light than at {warmth}", light=lower, warmth=_room()),
        ),
    )


def _heat_rows(heat: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    less, more = (warmth((heat[key] - 32) * 5 / 9) for key in ("less_dark_from_f", "darker_up_to_f"))
    seen = heat["seen_in_contact_lenses"]
    passed = [
        _("{light} of 100 passed at {warmth}", light=plain(light, 0), warmth=warmth(c))
        for c, light in seen["passed_of_100_by_c"].items()
    ]
    count, year = str(seen["lenses"]), str(seen["year"])
    test = _("Dark in heat: test of {count} contact lenses that darken, {year}", count=count, year=year)
    return (
        (
            _("Dark at {warmth} and above: the trade", warmth=less),
            _("less dark than at {warmth} and below", warmth=more),
        ),
        (test, ", ".join(passed)),
    )


def light_reactive_days() -> tuple[Block, ...]:
    """Say day by day what to look at in the first weeks: common practice, without a study."""
    return (
        Paragraph(
            _(
                "Some people in our trade say that the first weeks of sun settle these lenses. "
                "We found no study of it, and 1 popular page says they need no such time. "
                "So these days only tell you what to look at; you need not wait to call us."
            )
        ),
        Steps(tuple((_(day), _(what)) for day, what in _DAYS)),
        Note(_("Common practice in our trade, without a study."), _("Where it comes from")),
    )


def light_numbers() -> dict[str, Any]:
    """Typical figures of light-reactive lenses in full precision, each range as low and high, units in the keys."""
    changes = {"in_sun": darkening(), "out_of_sun": clearing(), "out_of_sun_kept_cold": clearing_in_the_cold()}
    facts = data_file("light_reactive")
    return {
        "room_degrees_celsius": facts["room_c"],
        "cold_degrees_celsius": facts["cold_c"],
        "clear_again_of_100": _clear_again(),
        **{name: _change_numbers(change) for name, change in changes.items()},
    }


def _change_numbers(change: Change) -> dict[str, Any]:
    return {
        "start_of_100": _ends(change.start_of_100),
        "end_of_100": _ends(change.end_of_100),
        "half_time_s": _ends(change.half_time_s),
        "done_s": _ends(change.done_s),
        "bands": [{"after_s": time, "passed_of_100": _ends(change.at(time))} for time in TABLE_TIMES_S],
    }


def _ends(spread: Spread) -> list[float]:
    return [spread.low, spread.high]
