"""One lens, told one way: whichever form it is written in, and whichever eye it is for."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from explain.order import read_order
from explain.story.page import tell
from explain.story.pair import work_out
from explain.story.thickness import lens_text
from explain.story.verdict import verdict_text
from explain.story.verify import comparisons
from tests.story.invented import as_typed, copy_demo, sayings, write_yaml

LINE = re.compile(r"([+-][\d.]+) ([+-][\d.]+) x (\d+)")
SWAP = {"right": "left", "left": "right"}


def each_line(thing, change):
    """An order with every written eye changed; `change` gets and gives sphere, cylinder and axis."""
    if isinstance(thing, str):
        return LINE.sub(lambda found: written(*change(*map(float, found.groups()))), thing)
    if isinstance(thing, list):
        return [each_line(part, change) for part in thing]
    if not isinstance(thing, dict):
        return thing
    if "cylinder" in thing:
        sphere, cylinder, axis = change(*(float(thing[name]) for name in ("sphere", "cylinder", "axis")))
        return thing | {"sphere": f"{sphere:+.2f}", "cylinder": f"{cylinder:+.2f}", "axis": f"{axis:.0f}"}
    return {key: each_line(value, change) for key, value in thing.items()}


def written(sphere, cylinder, axis):
    return f"{sphere:+.2f} {cylinder:+.2f} x {axis:.0f}"


def other_form(sphere, cylinder, axis):
    return sphere + cylinder, -cylinder, axis - 90 if axis > 90 else axis + 90


def mirrored_axis(sphere, cylinder, axis):
    return sphere, cylinder, 180 if axis == 180 else 180 - axis


def mirrored(order):
    """The order of somebody whose left eye is like this wearer's right one, in the mirror."""
    swapped = each_line(order, mirrored_axis)
    for group in ("prescription", "checked", "previous"):
        old = swapped.get(group, {})
        if isinstance(old, str):
            continue  # "previous: none" has no sides
        swapped[group] = {SWAP.get(key, key): value for key, value in old.items()}
        for key in ("pd", "near-pd", "heights"):
            if " / " in old.get(key, ""):
                swapped[group][key] = " / ".join(reversed(old[key].split(" / ")))
    return {key: value for key, value in swapped.items() if value}


def without_a_trace(order):
    """The same order in a frame of a named shape: two traced lenses are never quite mirror images."""
    traced = "/" in order["frame"]["outline"]
    return order | {"frame": order["frame"] | {"outline": "oval"}} if traced else order


@pytest.fixture
def worked_out(tmp_path, demo_shop):
    folder = copy_demo(tmp_path / "orders")

    def work(order):
        path = write_yaml(folder / "changed.yaml", order)
        return work_out(read_order(path, demo_shop).order, demo_shop)

    return work


AS_WRITTEN = {"Ordered", "Measured", "Power made"}


def sections_without_the_line_as_written(page):
    """All sections, less the first table of the prescription and 3 rows of the keep sheet."""
    found = []
    for section in (section for group in page.groups for section in group.sections):
        if section.id == "prescription":
            first = next(block for block in section.blocks if block.kind == "table")
            found.append(replace(section, blocks=tuple(block for block in section.blocks if block is not first)))
        elif section.id == "keep":
            found.append(replace(section, blocks=tuple(map(without_lines, section.blocks))))
        else:
            found.append(section)
    return tuple(found)


def without_lines(block):
    if block.kind != "table":
        return block
    return replace(block, rows=tuple(row for row in block.rows if row[0] not in AS_WRITTEN))


def test_a_prescription_in_the_other_form_gives_the_same_page_except_as_written(demo_order, demo_page, worked_out):
    order = as_typed(demo_order)
    turned = tell(worked_out(each_line(order, other_form)))

    assert turned.first == demo_page.first
    mine, other = (sayings(sections_without_the_line_as_written(page)) for page in (demo_page, turned))
    assert other == mine


@pytest.mark.parametrize("line", ["+1.00 -2.00 x 90", "+1.50 -3.00 x 30", "0.00 -1.00 x 180"])
def test_equal_and_opposite_powers_are_told_the_same_in_both_forms(pair_of, line):
    sphere, cylinder, axis = (float(part) for part in line.replace(" x", "").split())
    both = {line, written(*other_form(sphere, cylinder, axis))}

    pages = [tell(pair_of(prescription={"right": typed})) for typed in sorted(both)]

    one, other = (sayings(sections_without_the_line_as_written(page)) for page in pages)
    assert one == other


def test_the_prescription_is_shown_in_the_form_it_was_written_in(pair_of):
    minus, plus = (
        str(sayings(tell(pair_of(prescription={"right": line})).groups[0].sections[0]))
        for line in ("-3.00 -1.00 x 30", "-4.00 +1.00 x 120")
    )

    assert "+1.00" not in minus
    assert "+1.00" in plus


@pytest.fixture
def twins(demo_order, worked_out):
    """A demo pair, and the pair of somebody who is its wearer's mirror image."""
    order = without_a_trace(as_typed(demo_order))
    return worked_out(order), worked_out(mirrored(order))


def test_a_mirrored_order_gives_the_same_lenses_with_the_eyes_swapped(twins):
    pair, other = twins

    for eye in pair.eyes:
        mine, twin = pair.chosen.lenses[eye.side], other.chosen.lenses[SWAP[eye.side]]
        assert twin.lens.centre_mm == pytest.approx(mine.lens.centre_mm)
        assert twin.thickest_mm == pytest.approx(mine.thickest_mm)
        assert twin.thinnest_edge.thickness_mm == pytest.approx(mine.thinnest_edge.thickness_mm)
        assert twin.weight_g == pytest.approx(mine.weight_g)


def test_a_mirrored_order_is_told_in_the_same_words_with_the_eyes_swapped(twins, place):
    pair, other = twins
    eyes = {eye.side: eye for eye in other.eyes}

    for eye in pair.eyes:
        mine, twin = lens_text(pair, eye), lens_text(other, eyes[SWAP[eye.side]])
        assert twin.replace(SWAP[eye.side], eye.side, 1) == mine
    assert verdict_text(other, place) == verdict_text(pair, place)


def test_a_mirrored_pair_is_just_as_far_inside_or_outside(twins):
    def differences(pair, swap):
        return sorted((one.quantity, swap.get(one.eye, one.eye), round(one.off_by, 6)) for one in comparisons(pair))

    pair, other = twins

    assert differences(other, SWAP) == differences(pair, {})
    assert differences(pair, {})
