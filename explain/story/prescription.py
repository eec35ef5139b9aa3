"""What the prescription says, eye by eye."""

from __future__ import annotations

from collections.abc import Sequence

from explain.optics.near import ReadyMadeReader, farthest_clear_cm, nearest_ready_made_reader
from explain.optics.power import (
    SphereCylinder,
    minus_cylinder_form,
    near_power,
    principal_powers,
    spherical_equivalent_dpt,
)
from explain.order.model import EyePrescription, Order
from explain.story.blocks import Block, Figure, Heading, Paragraph, Prose, Section, Table
from explain.story.drawings import MeridianDrawing, MeridianEye
from explain.story.pair import VERTEX_MM, Eye, Pair, image_size
from explain.story.wording import cm_with_inches, degrees, dioptres, listed, mm, plain, rounded

LEAST_POWER_DPT = 0.25
SHARP_CYLINDER_DPT = 0.50
OLD_EYE_ADD_DPT = 2.00
"""From this add on, little focus of the eye's own is left (wd-04 in data/words_sources.yaml: 2.25 to 2.50 at most)."""
SEEN_SIZE = 0.03
"""From this change in size on, the page mentions it (our own judgement)."""


def prescription_section(pair: Pair) -> Section | None:
    """Part 2 of the page; absent for a pair without a prescription."""
    if pair.order.lenses.design == "plano":
        return None
    blocks: list[Block] = [
        Paragraph("Each eye has a line of its own. Right and left are your own right and left."),
        _lines_table(pair.order),
    ]
    focuses = still_focuses(pair.order)
    blocks += [Paragraph(eye_text(eye.ordered, focuses=focuses), lead=f"{side_name(eye.side)}.") for eye in pair.eyes]
    blocks += [
        Paragraph(f"{side_name(eye.side)}: {prism_text(eye.ordered)}.", lead="Prism.")
        for eye in pair.eyes
        if eye.ordered.prisms
    ]
    blocks += [Heading("What each word stands for"), *_terms(pair.order)]
    blocks += _meridian_figure(pair)
    blocks += _near_part(pair)
    blocks += _special_parts(pair)
    blocks += _size_part(pair)
    blocks += _pd_part(pair)
    return Section("prescription", "What your prescription says", "Your prescription", tuple(blocks))


def still_focuses(order: Order) -> bool:
    """True unless the order shows that little focus is left: over 65, or an add of 2.00 or more."""
    adds = [eye.add_dpt for eye in (order.right, order.left) if eye is not None and eye.add_dpt]
    return "over 65" not in order.wearer and not any(add >= OLD_EYE_ADD_DPT for add in adds)


def side_name(side: str) -> str:
    """Name an eye as the page does.

    >>> side_name("right")
    'Right eye'
    """
    return f"{side.capitalize()} eye"


def eye_text(ordered: EyePrescription, *, focuses: bool = True) -> str:
    """Say in up to three sentences what one eye needs. focuses: the eye still has focus of its own to speak of."""
    if ordered.power is None:
        return "This is a balance lens. It copies the other lens in looks and weight, and is not meant for sight."
    sentences = [power_sentence(ordered.power), *_consequence(ordered.power, focuses=focuses)]
    return " ".join(sentences)


def power_sentence(power: SphereCylinder) -> str:
    """Name the kind of eye and its power, and the astigmatism where there is any.

    >>> power_sentence(SphereCylinder(-1.0, -0.25, 95))
    'This eye is near-sighted: 1.00 diopters one way across and 1.25 the other way. The gap of 0.25 is astigmatism.'
    """
    low, high = sorted((power.sphere_dpt, power.sphere_dpt + power.cylinder_dpt), key=abs)
    gap = plain(abs(power.cylinder_dpt), 2)
    if rounded(high, 2) == 0:
        return "This eye needs no power for far."
    if rounded(power.cylinder_dpt, 2) == 0:
        return f"This eye is {_kind(high)}-sighted by {plain(abs(high), 2)} diopters."
    if low * high < 0:
        return f"This eye is near-sighted one way across and far-sighted the other. The gap of {gap} is astigmatism."
    return (
        f"This eye is {_kind(high)}-sighted: {plain(abs(low), 2)} diopters one way across and {plain(abs(high), 2)} "
        f"the other way. The gap of {gap} is astigmatism."
    )


def _kind(power_dpt: float) -> str:
    return "near" if power_dpt < 0 else "far"


def _consequence(power: SphereCylinder, *, focuses: bool) -> list[str]:
    """Say what this eye does without a lens; nothing for an eye of hardly any power."""
    average = spherical_equivalent_dpt(power)
    if power.sphere_dpt * (power.sphere_dpt + power.cylinder_dpt) < 0:
        return []
    if average <= -LEAST_POWER_DPT:
        how = "sharp only up to" if abs(power.cylinder_dpt) <= SHARP_CYLINDER_DPT else "clearest at"
        return [f"Without a lens it is {how} about {cm_with_inches(100 / -average + VERTEX_MM / 10)} from the eye."]
    if average >= LEAST_POWER_DPT and focuses:
        return ["Without a lens it has to focus harder at every distance, most of all up close."]
    if average >= LEAST_POWER_DPT:
        return ["Without a lens, far things are blurred and near things more."]
    return []


def prism_text(ordered: EyePrescription) -> str:
    """Say each ordered prism and where its thick side lies."""
    words = {"up": "up", "down": "down", "in": "in, toward the nose", "out": "out, toward the ear"}
    return listed([f"{plain(p.amount_prism_dpt, 2)} base {words[p.base]}" for p in ordered.prisms])


def _lines_table(order: Order) -> Table:
    eyes = [(side, eye) for side, eye in (("right", order.right), ("left", order.left)) if eye is not None]
    has_cylinder = any(eye.power and rounded(eye.power.cylinder_dpt, 2) for _, eye in eyes)
    has_prism = any(eye.prisms for _, eye in eyes)
    has_add = any(eye.add_dpt for _, eye in eyes)
    columns = ["Eye", "Sphere"]
    columns += ["Cylinder", "Axis"] if has_cylinder else []
    columns += ["Prism"] if has_prism else []
    columns += ["Add"] if has_add else []
    rows = tuple(_line(side, eye, has_cylinder, has_prism, has_add) for side, eye in eyes)
    note = "Diopters count how strongly a lens bends light. On paper, OD is the right eye and OS the left."
    return Table("Your prescription, as ordered", tuple(columns), rows, note)


def _line(side: str, eye: EyePrescription, cylinder: bool, prism: bool, add: bool) -> tuple[str, ...]:  # noqa: FBT001
    power = eye.power
    cells = [side_name(side), "balance" if power is None else dioptres(power.sphere_dpt)]
    if cylinder:
        bent = power is not None and bool(rounded(power.cylinder_dpt, 2))
        cells += [dioptres(power.cylinder_dpt), degrees(power.axis_deg)] if power and bent else ["none", "none"]
    if prism:
        cells.append(prism_text(eye) if eye.prisms else "none")
    if add:
        cells.append(dioptres(eye.add_dpt) if eye.add_dpt else "none")
    return tuple(cells)


def _terms(order: Order) -> list[Block]:
    eyes = [eye for eye in (order.right, order.left) if eye is not None]
    powers = [eye.power for eye in eyes if eye.power is not None]
    names = []
    if any(spherical_equivalent_dpt(power) < 0 for power in powers):
        names.append("prescription-sphere-minus")
    if any(spherical_equivalent_dpt(power) > 0 for power in powers):
        names.append("prescription-sphere-plus")
    if any(rounded(power.cylinder_dpt, 2) for power in powers):
        names.append("prescription-cylinder")
    if any(eye.prisms for eye in eyes):
        names.append("prescription-prism")
    if any(eye.add_dpt for eye in eyes):
        names.append("prescription-add")
    return [Prose(name, level=4) for name in names]


def _meridian_figure(pair: Pair) -> list[Block]:
    bent = [eye for eye in pair.eyes if eye.ordered.power and rounded(eye.ordered.power.cylinder_dpt, 2)]
    if not bent:
        return []
    eyes = tuple(_meridian_eye(eye) for eye in bent)
    finding = _meridian_finding(bent)
    rows = tuple(row for eye in bent for row in _meridian_rows(eye))
    table = Table("Power in each direction", ("Eye and direction", "Power"), rows)
    return [
        Figure(
            finding=finding,
            measure="Power in diopters, drawn as someone facing you would see the lenses.",
            drawing=MeridianDrawing(finding, " ".join(f"{row[0]}: {row[1]}." for row in rows), eyes),
            table=table,
            note="The lens is strongest along the heavy line and weakest along the dashed one.",
        )
    ]


def _meridian_finding(bent: list[Eye]) -> str:
    gaps = [f"{plain(abs(eye.ordered.power.cylinder_dpt), 2)}" for eye in bent if eye.ordered.power is not None]
    if len(bent) == 1:
        return f"Your {bent[0].side} lens differs by {gaps[0]} diopters from one way to the other"
    return f"Each lens differs from one way to the other: by {listed(gaps)} diopters"


def _meridian_eye(eye: Eye) -> MeridianEye:
    strong, weak = _strong_and_weak(eye)
    return MeridianEye(
        label=side_name(eye.side),
        first_deg=strong[1],
        first_dpt=strong[0],
        first_label=dioptres(strong[0]),
        second_deg=weak[1],
        second_dpt=weak[0],
        second_label=dioptres(weak[0]),
    )


def _strong_and_weak(eye: Eye) -> tuple[tuple[float, float], tuple[float, float]]:
    assert eye.ordered.power is not None  # noqa: S101  callers choose eyes with a power
    pairs = [(p.power_dpt, p.meridian_deg) for p in principal_powers(eye.ordered.power)]
    weak, strong = sorted(pairs, key=lambda p: (abs(p[0]), p[0]))
    return strong, weak


def _meridian_rows(eye: Eye) -> list[tuple[str, str]]:
    return [
        (f"{side_name(eye.side)}, {slant_words(deg)} ({degrees(deg)} degrees)", dioptres(dpt))
        for dpt, deg in _strong_and_weak(eye)
    ]


def slant_words(direction_deg: float) -> str:
    """Say how a direction lies, as someone facing the wearer sees it.

    >>> slant_words(180), slant_words(90), slant_words(45), slant_words(120)
    ('level', 'upright', 'rising to the right', 'rising to the left')
    """
    turn = direction_deg % 180
    if min(turn, 180 - turn) <= 10:
        return "level"
    if abs(turn - 90) <= 10:
        return "upright"
    return "rising to the right" if turn < 90 else "rising to the left"


def _near_part(pair: Pair) -> list[Block]:
    adds = [eye.ordered.add_dpt for eye in pair.eyes if eye.ordered.add_dpt]
    if not adds:
        return []
    blocks: list[Block] = [Heading("What the add does for you"), Paragraph(add_text(min(adds), pair.reading_cm))]
    blocks += [Paragraph(text) for text in _reader_texts(pair)]
    return blocks


def add_text(add_dpt: float, reading_cm: float) -> str:
    """Say where an add puts near, and what the eye's own focus has to give.

    >>> add_text(1.75, 40.0).split(". ")[0]
    'The add is 1.75 diopters more than your power for far'
    """
    far_end = cm_with_inches(farthest_clear_cm(add_dpt))
    missing = 100 / reading_cm - add_dpt
    first = f"The add is {plain(add_dpt, 2)} diopters more than your power for far."
    second = f"On its own it is sharp at about {far_end}."
    if missing > 0.125:  # half a step of 0.25
        return (
            f"{first} {second} To read at {cm_with_inches(reading_cm)}, your own eyes add the last {plain(missing, 2)}."
        )
    return f"{first} {second} So your own eyes need add little or nothing at {cm_with_inches(reading_cm)}."


def _reader_texts(pair: Pair) -> list[str]:
    """Compare with ready-made readers, once for both eyes where the same pair comes closest."""
    needs = [(eye.side, eye.ordered.power, eye.ordered.add_dpt) for eye in pair.eyes]
    known = [(side, near_power(power, add)) for side, power, add in needs if power is not None and add]
    readers = [nearest_ready_made_reader(near) for _, near in known]
    powers = {None if reader is None else reader.power_dpt for reader in readers}
    if len(known) > 1 and len(powers) == 1:
        return [reader_text("each eye", readers)]
    return [reader_text(f"your {side} eye", [reader]) for (side, _), reader in zip(known, readers, strict=True)]


def reader_text(who: str, readers: Sequence[ReadyMadeReader | None]) -> str:
    """Say which ready-made reading glasses come closest for near, and what they would leave.

    >>> reader_text("your left eye", [ReadyMadeReader(1.25, SphereCylinder(0.0))])
    'For near, your left eye needs about the power of ready-made +1.25 reading glasses. Those have no far part.'
    """
    found = [reader for reader in readers if reader is not None]
    if not found:
        return f"No ready-made reading glasses are commonly sold in the power that {who} needs for near."
    power = dioptres(found[0].power_dpt)
    start = f"For near, {who} needs about the power of ready-made {power} reading glasses."
    left = [abs(minus_cylinder_form(reader.left_over).cylinder_dpt) for reader in found]
    bent = [plain(cylinder, 2) for cylinder in left if rounded(cylinder, 2)]
    if bent:
        return f"{start} Those would leave {listed(sorted(set(bent)))} of astigmatism uncorrected."
    return f"{start} Those have no far part."


def _special_parts(pair: Pair) -> list[Block]:
    blocks: list[Block] = []
    if any(eye.ordered.prisms for eye in pair.eyes):
        blocks += [Heading("What the prism does"), Prose("prism", level=4)]
    if any(eye.ordered.is_balance for eye in pair.eyes):
        blocks += [Heading("The balance lens"), Prose("balance", level=4)]
    if len(pair.eyes) == 1:
        blocks += [Heading("One new lens"), Prose("one-lens", level=4)]
    return blocks


def _size_part(pair: Pair) -> list[Block]:
    sizes = [(eye.side, image_size(pair, eye)) for eye in pair.eyes if not eye.ordered.is_balance]
    if all(abs(size - 1) < SEEN_SIZE for _, size in sizes):
        return []
    text = " ".join(size_sentence(side, size) for side, size in sizes)
    looks = "To other people your eyes look smaller or bigger behind the lenses by about as much."
    return [Heading("How big things look"), Paragraph(f"{text} {looks}")]


def size_sentence(side: str, size: float) -> str:
    """Say how much smaller or bigger one eye sees things through its lens.

    >>> size_sentence("right", 0.886), size_sentence("left", 1.0)
    ('Through your right lens, things look 11 in 100 smaller.', 'Through your left lens, things keep their size.')
    """
    change = rounded(100 * (size - 1), 0)
    if change == 0:
        return f"Through your {side} lens, things keep their size."
    return f"Through your {side} lens, things look {abs(change)} in 100 {'smaller' if change < 0 else 'bigger'}."


def _pd_part(pair: Pair) -> list[Block]:
    fit = pair.order.fit
    split = " We were given one number and halved it." if fit.pd_was_split else ""
    far = (
        f"From the middle of your nose, your right eye is {mm(fit.pd_right_mm)} away "
        f"and your left {mm(fit.pd_left_mm)}."
    )
    blocks: list[Block] = [
        Heading("Where your eyes sit"),
        Prose("prescription-pd", level=4),
        Paragraph(f"{far} That makes {mm(fit.pd_right_mm + fit.pd_left_mm)} in all.{split}"),
    ]
    if pair.order.lenses.design == "reading":
        near = listed([f"{mm(eye.pd_mm)} ({eye.side})" for eye in pair.eyes])
        blocks.append(Paragraph(f"Up close your eyes turn in. So these lenses are centered at {near}."))
    return blocks
