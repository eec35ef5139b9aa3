"""The facts about layers and light-reactive lenses: each with its source, its unit and a believable figure."""

from __future__ import annotations

import math

import pytest

from explain.facts import data_file

LIGHT, COATING = data_file("light_reactive"), data_file("coating")
KNOWN = {*data_file("sources"), *data_file("words_sources")["more"], *LIGHT["more"]}
RECALLED = {key for key, source in data_file("sources").items() if source["kind"] == "recalled"}


def entries(node, name=""):
    """Every group of facts that names its sources, with where it stands."""
    if isinstance(node, dict):
        if "sources" in node:
            yield name, node
        for key, child in node.items():
            yield from entries(child, f"{name}/{key}")
    elif isinstance(node, list):
        for place, child in enumerate(node):
            yield from entries(child, f"{name}/{place}")


FACTS = [pytest.param(entry, id=name) for data in (LIGHT, COATING) for name, entry in entries(data)]


def test_there_are_facts_to_check():
    assert len(FACTS) >= 10


@pytest.mark.parametrize("entry", FACTS)
def test_every_fact_names_a_known_source_and_how_it_was_had(entry):
    assert entry["status"] in {"read", "from-memory"}
    assert entry["sources"]
    assert set(entry["sources"]) <= KNOWN
    assert (set(entry["sources"]) <= RECALLED) == (entry["status"] == "from-memory")


def test_sources_of_this_file_alone_have_a_title_and_a_kind_and_are_used():
    used = {source for _, entry in entries(LIGHT) for source in entry["sources"]}

    assert set(LIGHT["more"]) <= used
    assert all(set(source) == {"title", "kind"} and "http" not in str(source) for source in LIGHT["more"].values())


def test_every_range_rises():
    ranges = [LIGHT["clear"]["passed_of_100"], LIGHT["dark_in_sun"]["passed_of_100"], LIGHT["cold"]["half_time_times"]]
    ranges += [entry["seconds"] for entry in LIGHT["darken"]]

    assert all(0 < low < high for low, high in ranges)
    assert LIGHT["dark_in_sun"]["passed_of_100"][1] < LIGHT["clear"]["passed_of_100"][0]
    assert LIGHT["clear_again_at_of_100"] < LIGHT["clear"]["passed_of_100"][0]


def test_the_figures_of_the_cold_study_hold_together_only_if_11_5_are_parts_of_100():
    """Its three ratios: light lower by 11.5, change of light 1.2 times, change of density 1.4 times.

    If lower by parts of 100, a change of light of 57.5 grows to 69. With a clear lens of 88 to 96 of 100 its density
    then gains 1.36 to 1.46 times, as printed. If lower by a share of itself, the lens would hardly darken at all.
    """
    lower, gain, printed = LIGHT["cold"]["passed_lower_of_100"], 1.2, LIGHT["cold"]["density_gain_times"]
    for clear in (88.0, 92.0, 96.0):
        as_parts = clear - lower / (gain - 1)
        as_share = clear * (gain - 1) / (gain - 1 + lower / 100)

        assert density_gain(clear, as_parts, as_parts - lower) == pytest.approx(printed, abs=0.06)
        assert density_gain(clear, as_share, as_share * (1 - lower / 100)) < printed - 0.1
        low, high = LIGHT["dark_in_sun"]["passed_of_100"]
        assert low < as_parts < high


def density_gain(clear, warm, cold):
    """How many times the gain of density over the clear state is larger in the cold."""
    return math.log(clear / cold) / math.log(clear / warm)


def test_the_figures_in_words_are_those_of_the_data():
    """light-reactive.md gives the trade's times and the study's factor; ph-03 and ph-08 rest on the same."""
    facts = data_file("words_sources")["facts"]

    assert f"{LIGHT['cold']['time_to_80_times']} times longer" in facts["ph-03"]["fact"]
    assert f"at {LIGHT['cold_c']} than at {LIGHT['room_c']} degrees" in facts["ph-03"]["fact"]
    assert "30 seconds to 1 minute to darken and up to 5 minutes to clear" in facts["ph-08"]["fact"]


def test_the_eye_sees_green_best_and_the_ends_of_the_spectrum_hardly():
    eye = COATING["luminous_efficiency_by_nm"]["use"]
    best = max(eye, key=lambda nm: eye[nm])
    rising = [eye[nm] for nm in sorted(eye) if nm <= best]
    falling = [eye[nm] for nm in sorted(eye) if nm >= best]

    assert best in {550, 560}
    assert rising == sorted(rising)
    assert falling == sorted(falling, reverse=True)
    assert {b - a for a, b in zip(sorted(eye), sorted(eye)[1:], strict=False)} == {10}
    assert max(eye[400], eye[700]) < 0.005


def test_the_eye_s_answer_adds_up_to_the_integral_that_books_print():
    """The area under V of lambda is 106.86 nm (CIE 1924; recalled)."""
    assert 10 * sum(COATING["luminous_efficiency_by_nm"]["use"].values()) == pytest.approx(106.86, abs=0.1)


def test_films_are_thinner_than_a_wave_and_of_known_kinds():
    films = COATING["four_films"]["use"]

    assert [film["index"] for film in films] == [1.46, 2.00, 1.46, 2.00]
    assert all(5 < film["thickness_nm"] < 150 for film in films)
