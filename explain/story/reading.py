"""Reading: what the add does for near, and which ready-made reading glasses come closest."""

from __future__ import annotations

from collections.abc import Sequence

from explain.language import _
from explain.optics.near import ReadyMadeReader, farthest_clear_cm, nearest_ready_made_reader
from explain.optics.power import minus_cylinder_form, near_power
from explain.story.blocks import Block, Heading, Paragraph
from explain.story.pair import Pair
from explain.story.sides import each_eye, your_eye
from explain.story.wording import cm_with_inches, dioptres, listed, plain, rounded

HALF_A_STEP_DPT = 0.125
HARDLY_SEEN_DPT = 0.255
"""Blur up to a step of a lens is called hardly noticed: most people miss 0.20 (pg-05 in data/words_sources.yaml)."""
"""Half a step of 0.25, in which an add is ordered."""


def near_blocks(pair: Pair) -> list[Block]:
    """What the add does, and the ready-made readers that come closest; nothing without an add."""
    adds = [eye.ordered.add_dpt for eye in pair.eyes if eye.ordered.add_dpt]
    if not adds:
        return []
    texts = [add_text(min(adds), pair.reading_cm), *_reader_texts(pair)]
    return [Heading(_("What the add does for you")), *(Paragraph(text) for text in texts)]


def add_text(add_dpt: float, reading_cm: float) -> str:
    """Say where an add puts near, and what the eye's own focus has to give.

    >>> add_text(1.75, 40.0).split(". ")[0]
    'The add is 1.75 diopters more than your power for far'
    """
    missing, reading = 100 / reading_cm - add_dpt, cm_with_inches(reading_cm)
    sentences = (
        _("The add is {add} diopters more than your power for far.", add=plain(add_dpt, 2)),
        _("On its own it is sharp at about {distance}.", distance=cm_with_inches(farthest_clear_cm(add_dpt))),
        _last_text(missing, reading),
    )
    return " ".join(sentences)


def _last_text(missing_dpt: float, reading: str) -> str:
    """Say what the add leaves to the eyes at the reading distance."""
    if missing_dpt > HARDLY_SEEN_DPT:
        power = plain(missing_dpt, 2)
        return _("To read at {distance}, your own eyes add the last {power}.", distance=reading, power=power)
    if missing_dpt > HALF_A_STEP_DPT:
        power = plain(missing_dpt, 2)
        return _("At {distance} it is {power} short, which most people hardly notice.", distance=reading, power=power)
    return _("So your own eyes need add little or nothing at {distance}.", distance=reading)


def _reader_texts(pair: Pair) -> list[str]:
    """Compare with ready-made readers, once for both eyes where the same pair comes closest."""
    needs = [(eye.side, eye.ordered.power, eye.ordered.add_dpt) for eye in pair.eyes]
    known = [(side, near_power(power, add)) for side, power, add in needs if power is not None and add]
    readers = [nearest_ready_made_reader(near) for _side, near in known]
    powers = {None if reader is None else reader.power_dpt for reader in readers}
    if len(known) > 1 and len(powers) == 1:
        return [reader_text(each_eye(), readers)]
    return [reader_text(your_eye(side), [reader]) for (side, _near), reader in zip(known, readers, strict=True)]


def reader_text(who: str, readers: Sequence[ReadyMadeReader | None]) -> str:
    """Say which ready-made reading glasses come closest for near, and what they would leave.

    >>> from explain.optics.power import SphereCylinder
    >>> reader_text("your left eye", [ReadyMadeReader(1.25, SphereCylinder(0.0))])
    'For near, your left eye needs about the power of ready-made +1.25 reading glasses. Those have no far part.'
    """
    found = [reader for reader in readers if reader is not None]
    if not found:
        return _("No ready-made reading glasses are commonly sold in the power that {eye} needs for near.", eye=who)
    start = _(
        "For near, {eye} needs about the power of ready-made {power} reading glasses.",
        eye=who,
        power=dioptres(found[0].power_dpt),
    )
    left = [abs(minus_cylinder_form(reader.left_over).cylinder_dpt) for reader in found]
    bent = [plain(cylinder, 2) for cylinder in left if rounded(cylinder, 2)]
    if not bent:
        return " ".join((start, _("Those have no far part.")))
    powers = listed(sorted(set(bent)))
    return " ".join((start, _("Those would leave {powers} of astigmatism uncorrected.", powers=powers)))
