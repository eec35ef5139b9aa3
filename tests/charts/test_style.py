"""Colours and axis ends of the house style."""

import pytest

from explain.charts.style import DARK, LIGHT, axis_end_mm, axis_end_money, paint


def luminance(colour):
    """Relative luminance of a colour (WCAG 2.2, definition of relative luminance)."""
    values = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def lightness(colour):
    """L* of CIE 1976 (all our colours are bright enough for the cube root)."""
    return 116 * luminance(colour) ** (1 / 3) - 16


both_schemes = pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])


def test_contrast_of_black_on_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@both_schemes
def test_text_has_contrast_7(scheme):
    assert contrast(scheme["ink"], scheme["paper"]) >= 7


@both_schemes
@pytest.mark.parametrize("name", ["chart-a", "chart-b", "grid"])
def test_graphics_have_contrast_3(scheme, name):
    assert contrast(scheme[name], scheme["paper"]) >= 3


@both_schemes
@pytest.mark.parametrize("line", ["ink", "chart-a"])
def test_outlines_have_contrast_3_with_their_filling(scheme, line):
    assert contrast(scheme[line], scheme["chart-soft"]) >= 3


@both_schemes
def test_the_two_series_differ_in_lightness_by_40(scheme):
    assert abs(lightness(scheme["chart-a"]) - lightness(scheme["chart-b"])) >= 40


def test_a_colour_is_a_variable_with_the_light_colour_to_fall_back_on():
    assert paint("chart-a") == f"var(--chart-a,{LIGHT['chart-a']})"


def test_ink_is_the_colour_of_the_text():
    assert paint("ink") == "currentColor"


@pytest.mark.parametrize(("largest", "end"), [(1.2, 2), (2.0, 2), (2.1, 4), (5.9, 6), (9.9, 10), (14.1, 20), (29, 30)])
def test_axis_of_thickness_ends_on_the_ladder(largest, end):
    assert axis_end_mm(largest) == end


def test_no_axis_for_what_is_no_lens():
    with pytest.raises(ValueError, match=r"31\.0 mm"):
        axis_end_mm(31.0)


@pytest.mark.parametrize(
    ("largest", "end"), [(0, 0), (-5, 0), (0.5, 0.6), (9, 10), (10, 10), (101, 140), (312.5, 400), (1200, 1400)]
)
def test_axis_of_money_ends_on_the_ladder(largest, end):
    assert axis_end_money(largest) == pytest.approx(end)
