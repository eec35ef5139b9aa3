"""Forewarnings: what is worth a second look while the lenses are not made yet, worked out from the order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from explain.facts import data_file
from explain.optics.progressive import (
    LEAST_READING_PART_MM,
    has_little_reading_part,
    is_cut_short,
    most_added_dpt,
    reading_part_mm,
)
from explain.optics.window import LEAST_WINDOW_MM, is_window_short
from explain.order.doubts import BIFOCAL_HEIGHT_MM, PROGRESSIVE_HEIGHT_MM, FoundDoubt
from explain.order.faults import Remark
from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from explain.story.advice import largest_blank_mm
from explain.story.pair import Eye, Pair
from explain.story.parts import eyes_with_add
from explain.story.window import window_of

DEEPER = "Measure again, or choose a deeper frame."


def forewarnings(pair: Pair) -> Iterator[FoundDoubt]:
    """Give each doubt with the dotted key it belongs to; nothing once the finished pair was checked."""
    if pair.order.checked is not None:
        return
    yield from _blanks(pair)
    yield from _centres(pair)
    if pair.order.lenses.design == "progressive":
        yield from _corridors(pair)
    if pair.order.lenses.design == "bifocal":
        yield from _windows(pair)


def _blanks(pair: Pair) -> Iterator[FoundDoubt]:
    largest = largest_blank_mm(pair)
    short = [eye for eye in pair.eyes if eye.smallest_blank_mm > largest]
    if not short:
        return
    needed = max(eye.smallest_blank_mm for eye in short)
    ordered = pair.order.lenses.blank_mm is not None
    yield (
        "lenses.blank" if ordered else "frame.size",
        Remark(
            f"{_whose(short)} will not cut out of a blank of {largest:g} mm: it needs {needed:.1f} mm",
            f"That is twice the way from the centre to the farthest edge, and 2 mm for cutting. {_whence(pair)}",
            _larger_blank(ceil(needed), ordered=ordered),
        ),
    )


def _whence(pair: Pair) -> str:
    if pair.order.lenses.blank_mm is not None:
        return "The order names the blank."
    if pair.shop.largest_blank_mm is not None:
        return "The shop file names the largest."
    return "It is the largest usual one (common practice, from memory)."


def _larger_blank(needed_mm: int, *, ordered: bool) -> str:
    """Say what to do for want of a blank; one larger than any file may name is not advised."""
    most_mm = (ORDER_KEYS["lenses.blank"] if ordered else SHOP_KEYS["largest-blank"]).highest
    if most_mm is not None and needed_mm > most_mm:
        return "Choose a smaller frame."
    if ordered:
        return f"Choose a smaller frame, or a blank of {needed_mm} mm or more."
    return f"Choose a smaller frame; or, if your laboratory has one, type in shop.yaml   largest-blank: {needed_mm}"


def _centres(pair: Pair) -> Iterator[FoundDoubt]:
    limit = float(data_file("advice")["far_from_middle_mm"]["use"])
    far = [eye for eye in pair.eyes if abs(eye.reference_point[0]) > limit]
    if not far or pair.order.lenses.design == "plano":
        return
    worst = max(far, key=lambda eye: abs(eye.reference_point[0]))
    way = "towards the nose" if worst.nose_sign * worst.reference_point[0] > 0 else "away from the nose"
    apart = pair.order.frame.lens_width_mm + pair.order.frame.bridge_mm
    yield (
        "frame.size",
        Remark(
            f"the centre of {_whose(far)} lies {abs(worst.reference_point[0]):.1f} mm {way} from its middle",
            f"Beyond {limit:g} mm one side gets thick and the blank must be large (common practice, from memory).",
            f"Choose a frame whose lens width and bridge together are nearer to the pd; here they make {apart:g} mm.",
        ),
    )


def _corridors(pair: Pair) -> Iterator[FoundDoubt]:
    """Doubt the reading part that the outline leaves; a low height alone is doubted when the order is read."""
    sketches = [(eye, eye.sketch) for eye in eyes_with_add(pair)]
    short = [(eye, lens) for eye, lens in sketches if is_cut_short(lens)]
    little = [
        (eye, lens)
        for eye, lens in sketches
        if has_little_reading_part(lens) and eye.height_mm >= PROGRESSIVE_HEIGHT_MM
    ]
    if short:
        _, worst = min(short, key=lambda one: reading_part_mm(one[1]))
        yield (
            "prescription.heights",
            Remark(
                f"full reading power would begin {-reading_part_mm(worst):.1f} mm below the edge of "
                f"{_whose([eye for eye, _ in short])}",
                f"With a corridor of {worst.corridor_mm:g} mm this outline leaves {most_added_dpt(worst):.2f} of the "
                f"{worst.add_dpt:.2f} added. The corridor is our estimate from the height; ask the maker for theirs.",
                DEEPER,
            ),
        )
    elif little:
        _, worst = min(little, key=lambda one: reading_part_mm(one[1]))
        yield (
            "prescription.heights",
            Remark(
                f"full reading power has only {reading_part_mm(worst):.1f} mm in {_whose([eye for eye, _ in little])}",
                f"Less than {LEAST_READING_PART_MM:g} mm is little to read through (common practice, no source).",
                DEEPER,
            ),
        )


def _windows(pair: Pair) -> Iterator[FoundDoubt]:
    found = [(eye, window) for eye in eyes_with_add(pair) if (window := window_of(pair, eye)) is not None]
    short = [(eye, window) for eye, window in found if is_window_short(window)]
    short = [(eye, window) for eye, window in short if _line_mm(pair, eye) >= BIFOCAL_HEIGHT_MM]
    if not short:
        return
    tall = min(window.tall_mm for _, window in short)
    yield (
        "prescription.heights",
        Remark(
            f"the outline leaves only {tall:.1f} mm of the reading window in {_whose([eye for eye, _ in short])}",
            f"Less than {LEAST_WINDOW_MM:g} mm is little to read through (common practice, no source).",
            DEEPER,
        ),
    )


def _line_mm(pair: Pair, eye: Eye) -> float:
    return getattr(pair.order.fit, f"height_{eye.side}_mm") or 0.0


def _whose(eyes: Sequence[Eye]) -> str:
    return "each lens" if len(eyes) > 1 else f"the {eyes[0].side} lens"
