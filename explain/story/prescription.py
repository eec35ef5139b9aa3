"""What the prescription says, eye by eye."""

from __future__ import annotations

from collections.abc import Sequence

from explain.language import _, in_context, later
from explain.optics.power import (
    SphereCylinder,
    principal_powers,
    spherical_equivalent_dpt,
)
from explain.order.model import EyePrescription, Order
from explain.story.blocks import Block, Figure, Heading, Paragraph, Prose, Section, Table
from explain.story.drawings import MeridianDrawing, MeridianEye
from explain.story.pair import VERTEX_MM, Eye, Pair, image_size
from explain.story.reading import near_blocks
from explain.story.sides import eye_name, of_lens, your_lens, your_lens_first
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
        Paragraph(_("Each eye has a line of its own. Right and left are your own right and left.")),
        _lines_table(pair.order),
    ]
    focuses = still_focuses(pair.order)
    blocks += [Paragraph(eye_text(eye.ordered, focuses=focuses), lead=f"{eye_name(eye.side)}.") for eye in pair.eyes]
    blocks += [
        Paragraph(f"{eye_name(eye.side)}: {prism_text(eye.ordered)}.", lead=_("Prism."))
        for eye in pair.eyes
        if eye.ordered.prisms
    ]
    blocks += [Heading(_("What each word stands for")), *_terms(pair.order)]
    blocks += _meridian_figure(pair)
    blocks += near_blocks(pair)
    blocks += _special_parts(pair)
    blocks += _size_part(pair)
    blocks += _pd_part(pair)
    return Section("prescription", _("What your prescription says"), _("Your prescription"), tuple(blocks))


def still_focuses(order: Order) -> bool:
    """True unless the order shows that little focus is left: over 65, or an add of 2.00 or more."""
    adds = [eye.add_dpt for eye in (order.right, order.left) if eye is not None and eye.add_dpt]
    return "over 65" not in order.wearer and not any(add >= OLD_EYE_ADD_DPT for add in adds)


side_name = eye_name
"""The name of an eye, as `explain.story.sides` has it."""


def eye_text(ordered: EyePrescription, *, focuses: bool = True) -> str:
    """Say in up to three sentences what one eye needs. focuses: the eye still has focus of its own to speak of."""
    if ordered.power is None:
        return _("This is a balance lens. It copies the other lens in looks and weight, and is not meant for sight.")
    sentences = [power_sentence(ordered.power), *_consequence(ordered.power, focuses=focuses)]
    return " ".join(sentences)


def power_sentence(power: SphereCylinder) -> str:
    """Name the kind of eye and its power, and the astigmatism where there is any.

    >>> power_sentence(SphereCylinder(-1.0, -0.25, 95))
    'This eye is near-sighted: 1.00 diopters one way across and 1.25 the other way. The gap of 0.25 is astigmatism.'
    """
    low, high = sorted((power.sphere_dpt, power.sphere_dpt + power.cylinder_dpt), key=abs)
    if rounded(high, 2) == 0:
        return _("This eye needs no power for far.")
    if rounded(power.cylinder_dpt, 2) == 0:
        return _even_sentence(high)
    gap = plain(abs(power.cylinder_dpt), 2)
    if low * high < 0:
        return _(
            "This eye is near-sighted one way across and far-sighted the other. The gap of {gap} is astigmatism.",
            gap=gap,
        )
    return _uneven_sentence(low, high, gap)


def _even_sentence(power_dpt: float) -> str:
    power = plain(abs(power_dpt), 2)
    if power_dpt < 0:
        return _("This eye is near-sighted by {power} diopters.", power=power)
    return _("This eye is far-sighted by {power} diopters.", power=power)


def _uneven_sentence(low_dpt: float, high_dpt: float, gap: str) -> str:
    low, high = plain(abs(low_dpt), 2), plain(abs(high_dpt), 2)
    if high_dpt < 0:
        return _(
            "This eye is near-sighted: {low} diopters one way across and {high} the other way. "
            "The gap of {gap} is astigmatism.",
            low=low,
            high=high,
            gap=gap,
        )
    return _(
        "This eye is far-sighted: {low} diopters one way across and {high} the other way. "
        "The gap of {gap} is astigmatism.",
        low=low,
        high=high,
        gap=gap,
    )


def _consequence(power: SphereCylinder, *, focuses: bool) -> list[str]:
    """Say what this eye does without a lens; nothing for an eye of hardly any power."""
    average = spherical_equivalent_dpt(power)
    if power.sphere_dpt * (power.sphere_dpt + power.cylinder_dpt) < 0:
        return []
    if average <= -LEAST_POWER_DPT:
        distance = cm_with_inches(100 / -average + VERTEX_MM / 10)
        if abs(power.cylinder_dpt) <= SHARP_CYLINDER_DPT:
            return [_("Without a lens it is sharp only up to about {distance} from the eye.", distance=distance)]
        return [_("Without a lens it is clearest at about {distance} from the eye.", distance=distance)]
    if average >= LEAST_POWER_DPT and focuses:
        return [_("Without a lens it has to focus harder at every distance, most of all up close.")]
    if average >= LEAST_POWER_DPT:
        return [_("Without a lens, far things are blurred and near things more.")]
    return []


_BASES = {
    "up": later("{amount} base up"),
    "down": later("{amount} base down"),
    "in": later("{amount} base in, toward the nose"),
    "out": later("{amount} base out, toward the ear"),
}


def prism_text(ordered: EyePrescription) -> str:
    """Say each ordered prism and where its thick side lies."""
    return listed([_(_BASES[prism.base], amount=plain(prism.amount_prism_dpt, 2)) for prism in ordered.prisms])


def _lines_table(order: Order) -> Table:
    eyes = [(side, eye) for side, eye in (("right", order.right), ("left", order.left)) if eye is not None]
    has_cylinder = any(eye.power and rounded(eye.power.cylinder_dpt, 2) for _, eye in eyes)
    has_prism = any(eye.prisms for _, eye in eyes)
    has_add = any(eye.add_dpt for _, eye in eyes)
    columns = [_("Eye"), _("Sphere")]
    columns += [_("Cylinder"), _("Axis")] if has_cylinder else []
    columns += [_("Prism")] if has_prism else []
    columns += [_("Add")] if has_add else []
    rows = tuple(_line(side, eye, has_cylinder, has_prism, has_add) for side, eye in eyes)
    note = _("Diopters count how strongly a lens bends light. On paper, OD is the right eye and OS the left.")
    return Table(_("Your prescription, as ordered"), tuple(columns), rows, note)


def _line(side: str, eye: EyePrescription, cylinder: bool, prism: bool, add: bool) -> tuple[str, ...]:  # noqa: FBT001
    power = eye.power
    none = in_context("no cylinder, axis, prism or add", "none")
    cells = [eye_name(side), _("balance") if power is None else dioptres(power.sphere_dpt)]
    if cylinder:
        bent = power is not None and bool(rounded(power.cylinder_dpt, 2))
        cells += [dioptres(power.cylinder_dpt), degrees(power.axis_deg)] if power and bent else [none, none]
    if prism:
        cells.append(prism_text(eye) if eye.prisms else none)
    if add:
        cells.append(dioptres(eye.add_dpt) if eye.add_dpt else none)
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
    table = Table(_("Power in each direction"), (_("Eye and direction"), _("Power")), rows)
    return [
        Figure(
            finding=finding,
            measure=_("Power in diopters, drawn as someone facing you would see the lenses."),
            drawing=MeridianDrawing(finding, " ".join(f"{row[0]}: {row[1]}." for row in rows), eyes),
            table=table,
            note=_("The lens is strongest along the heavy line and weakest along the dashed one."),
        )
    ]


def _meridian_finding(bent: list[Eye]) -> str:
    gaps = [plain(abs(eye.ordered.power.cylinder_dpt), 2) for eye in bent if eye.ordered.power is not None]
    if len(bent) == 1:
        return _(
            "{lens} differs by {gap} diopters from one way to the other",
            lens=your_lens_first(bent[0].side),
            gap=gaps[0],
        )
    return _("Each lens differs from one way to the other: by {gaps} diopters", gaps=listed(gaps))


def _meridian_eye(eye: Eye) -> MeridianEye:
    strong, weak = _strong_and_weak(eye)
    return MeridianEye(
        label=eye_name(eye.side),
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
    return [(_direction_label(eye, deg), dioptres(dpt)) for dpt, deg in _strong_and_weak(eye)]


def _direction_label(eye: Eye, direction_deg: float) -> str:
    return _(
        "{eye}, {direction} ({angle} degrees)",
        eye=eye_name(eye.side),
        direction=slant_words(direction_deg),
        angle=degrees(direction_deg),
    )


def slant_words(direction_deg: float) -> str:
    """Say how a direction lies, as someone facing the wearer sees it.

    >>> slant_words(180), slant_words(90), slant_words(45), slant_words(120)
    ('level', 'upright', 'rising to the right', 'rising to the left')
    """
    turn = direction_deg % 180
    if min(turn, 180 - turn) <= 10:
        return in_context("of a direction", "level")
    if abs(turn - 90) <= 10:
        return in_context("of a direction", "upright")
    return _("rising to the right") if turn < 90 else _("rising to the left")


def _special_parts(pair: Pair) -> list[Block]:
    blocks: list[Block] = []
    if any(eye.ordered.prisms for eye in pair.eyes):
        blocks += [Heading(_("What the prism does")), Prose("prism", level=4)]
    if any(eye.ordered.is_balance for eye in pair.eyes):
        blocks += [Heading(_("The balance lens")), Prose("balance", level=4)]
    if len(pair.eyes) == 1:
        blocks += [Heading(_("One new lens")), Prose("one-lens", level=4)]
    return blocks


def _size_part(pair: Pair) -> list[Block]:
    sizes = [(eye.side, image_size(pair, eye)) for eye in pair.eyes if not eye.ordered.is_balance]
    if all(abs(size - 1) < SEEN_SIZE for __, size in sizes):
        return []
    texts = [size_sentence(side, size) for side, size in sizes]
    unlike = unlike_sizes_text([size for __, size in sizes])
    looks = eyes_look_text([size for __, size in sizes])
    return [Heading(_("How big things look")), Paragraph(" ".join([*texts, *unlike])), Paragraph(looks)]


def unlike_sizes_text(sizes: Sequence[float]) -> list[str]:
    """Say how far the pictures of two eyes differ in size; nothing for one eye, or where it rounds to nothing.

    >>> unlike_sizes_text([0.93, 0.99]), unlike_sizes_text([0.930, 0.931])
    (['The 2 pictures differ in size by 6 in 100.'], [])
    """
    share = rounded(100 * (max(sizes) - min(sizes)), 0)
    return [_("The 2 pictures differ in size by {share} in 100.", share=share)] if share else []


def eyes_look_text(sizes: Sequence[float]) -> str:
    """Say how the wearer's eyes look to others behind the lenses."""
    if all(size <= 1 for size in sizes):
        return _("To other people your eyes look smaller behind the lenses, by about as much.")
    if all(size >= 1 for size in sizes):
        return _("To other people your eyes look bigger behind the lenses, by about as much.")
    return _("To other people your eyes look smaller or bigger behind the lenses by about as much.")


def size_sentence(side: str, size: float) -> str:
    """Say how much smaller or bigger one eye sees things through its lens.

    >>> size_sentence("right", 0.886), size_sentence("left", 1.0)
    ('Through your right lens, things look 11 in 100 smaller.', 'Through your left lens, things keep their size.')
    """
    change = rounded(100 * (size - 1), 0)
    lens = your_lens(side)
    if change == 0:
        return _("Through {lens}, things keep their size.", lens=lens)
    if change < 0:
        return _("Through {lens}, things look {share} in 100 smaller.", lens=lens, share=abs(change))
    return _("Through {lens}, things look {share} in 100 bigger.", lens=lens, share=abs(change))


def _pd_part(pair: Pair) -> list[Block]:
    fit = pair.order.fit
    texts = [
        _(
            "From the middle of your nose, your right eye is {right} away and your left {left}.",
            right=mm(fit.pd_right_mm),
            left=mm(fit.pd_left_mm),
        ),
        _("That makes {sum} in all.", sum=mm(fit.pd_right_mm + fit.pd_left_mm)),
        *([_("We were given one number and halved it.")] if fit.pd_was_split else []),
    ]
    blocks: list[Block] = [
        Heading(_("Where your eyes sit")),
        Prose("prescription-pd", level=4),
        Paragraph(" ".join(texts)),
    ]
    if pair.order.lenses.design == "reading":
        near = listed([f"{mm(eye.pd_mm)} ({of_lens(eye.side)})" for eye in pair.eyes])
        blocks.append(
            Paragraph(_("Up close your eyes turn in. So these lenses are centered at {distances}.", distances=near))
        )
    return blocks
