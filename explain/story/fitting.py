"""Fitting: how the pair should sit, how its wearer checks that at home, and who sets it right."""

from __future__ import annotations

from explain.language import _, later, said_once
from explain.order.model import Order, Shop
from explain.story.blocks import Block, Checks, Note, Paragraph, PicturedStep, Prose, Section, Table
from explain.story.pair import Pair
from explain.story.sketches import said_steps, sketches
from explain.story.true_size import height_given, lens_to_compare, pupil_is_known

HEADING = later("How they should sit")
INTRO = later(
    "A frame that sits crooked can make a correct lens feel wrong. "
    "Check 5 things at a mirror, or with somebody beside you."
)
INTRO_CHILD = later("Check these 5 things with your child sitting down and looking at you.")
STRAIGHT_ARMS = sketches("arms-straight", "arms-pinch")
TWO_FACES = sketches("face-level", "face-crooked")

FIRST_CHECKS = (
    PicturedStep(
        later("Set the open pair on a flat table."),
        later("It touches at 3 places: the front and the end of each arm. Both lenses are equally high."),
        sketches("hold", "table-side", "table-front", "table-points"),
    ),
    PicturedStep(
        later("Put them on, and feel along both arms."),
        later("They run straight back and touch your head only near the ears."),
        STRAIGHT_ARMS,
    ),
    PicturedStep(
        later("Look straight into the mirror."), later("With your head level, both lenses are equally high."), TWO_FACES
    ),
    PicturedStep(
        later("Blink a few times."),
        later("Your lashes touch nothing, and both lenses are equally far from your eyes."),
        sketches("lashes-clear", "lashes-touch"),
    ),
)
CHILD_CHECKS = (
    PicturedStep(
        later("Eyes."),
        later("Both eyes sit the same way in their lenses, often a little to the nose side of the middle."),
        TWO_FACES,
    ),
    PicturedStep(
        later("Nose."), later("The pads or the bridge lie flat on both sides. A mark is even and fades soon.")
    ),
    PicturedStep(
        later("Ears."),
        later("The arms run straight back and bend a little behind the ear. There is no deep line in the skin."),
        STRAIGHT_ARMS,
    ),
    PicturedStep(later("Cheeks."), later("The frame does not lift when your child smiles.")),
    PicturedStep(
        later("Staying up."),
        later("Let your child look down at the floor and shake the head. The pair stays in place."),
    ),
)
SIGNS = (
    (
        later("1 side sits high: the ears differ, or an arm is bent"),
        later("Please make these level on the face."),
        later("Front"),
    ),
    (
        later("They slide down: the arms hold too little"),
        later("Please set the arms so that these do not slide."),
        later("Side"),
    ),
    (
        later("They pinch at the temples: the arms are too close"),
        later("Please open the arms a little."),
        later("Above"),
    ),
    (
        later("A red mark on 1 side of the nose: that pad presses"),
        later("Please set the nose pads evenly."),
        later("Front"),
    ),
    (
        later("Lashes touch: the front is too close"),
        later("Please move the front away from the lashes."),
        later("Side"),
    ),
    (later("The eyes are too high or low in the lenses"), later("Please set the height at the nose."), later("Front")),
)
"""What a sign means, what to ask any optician for, and what to photograph (common practice, no source)."""


def fit_section(pair: Pair) -> Section:
    """Part 9 of the page: the home check, what each sign means, who sets it right and how to reach us."""
    checked = _checked_child() if "child" in pair.order.wearer else _checked(pair)
    after = [
        Prose("adjusting"),
        Paragraph(photo_text(pair.shop), lead=_("Photos.")),
        *sending_back(pair.order, pair.shop),
    ]
    return Section("fit", _(HEADING), _(HEADING), (*checked, *_compared(pair), *_signs(pair.order), *after))


def _checked(pair: Pair) -> list[Block]:
    return [Paragraph(_(INTRO)), Checks(checks(pair))]


def _checked_child() -> list[Block]:
    return [Paragraph(_(INTRO_CHILD)), Checks(said_steps(CHILD_CHECKS))]


def _signs(order: Order) -> list[Block]:
    """What is common, then what each sign means; a child cannot be asked about lashes and pupils."""
    if "child" in order.wearer:
        return [Prose("sits-right-child"), signs_table(SIGNS[:-2])]
    return [Prose("sits-right"), signs_table(SIGNS)]


def checks(pair: Pair) -> tuple[PicturedStep, ...]:
    """The five checks of a grown-up wearer; the last one by what the order knows of the pupils."""
    return (*said_steps(FIRST_CHECKS), last_check(pair))


def last_check(pair: Pair) -> PicturedStep:
    """Check the eyes: with the ring, the broken line or the line of a bifocal; alike in both where nothing was made."""
    design, eye = pair.order.lenses.design, pair.eyes[0]
    if design == "plano":
        return PicturedStep(_("Look straight ahead."), _("Both eyes sit the same way in their lenses."))
    if design == "reading":
        return PicturedStep(
            _("Look at a page."), _("Somebody sees each pupil on the broken line of the picture below.")
        )
    if design == "bifocal" and height_given(pair, eye) is not None:
        return PicturedStep(_("Look straight ahead."), _("The line of each window is level with your lower lid."))
    if pupil_is_known(pair, eye):
        return PicturedStep(_("Look straight ahead."), _("A ruler shows each pupil as high as in the picture below."))
    return PicturedStep(_("Look straight ahead."), _("Each pupil is on the broken line of the picture below."))


def _compared(pair: Pair) -> list[Block]:
    """The lens at true size, and what we took for granted; nothing where no check of the pair looks at it."""
    unknown = all(height_given(pair, eye) is None for eye in pair.eyes)
    if pair.order.lenses.design == "plano" or (unknown and "child" in pair.order.wearer):
        return []
    blocks: list[Block] = [lens_to_compare(pair)]
    if unknown:
        text = _("No height was measured, so each lens is centered half-way up its frame.")
        blocks.append(Note(text, label=_("What we assumed")))
    return blocks


@said_once(8)
def signs_table(signs: tuple[tuple[str, str, str], ...]) -> Table:
    """What a sign means, and what to ask any optician nearby for."""
    note = _("If the frame breaks in another shop's hands, they may not pay for it.")
    columns = (_("What you see, and why"), _("Say to any optician"), _("Photo for us"))
    rows = tuple((_(sign), _(ask), _(photo)) for sign, ask, photo in signs)
    return Table(_("If something is off"), columns, rows, note)


def photo_text(shop: Shop) -> str:
    """Say how to take a photo that shows the fit, and where it goes."""
    to = (
        _("Send it to {email}.", email=shop.email)
        if shop.email
        else _("Call {phone}, and we tell you where to send it.", phone=shop.phone)
    )
    how = _("Keep your head level. The camera is an arm's length away and as high as your eyes.")
    return f"{how} {to}"


def sending_back(order: Order, shop: Shop) -> list[Block]:
    """Say how to send the pair back, and to what address."""
    how = _(
        "Call first. Pack the pair in its hard case and a box, with the order number {number} on a slip.",
        number=order.number,
    )
    return [
        Paragraph(how, lead=_("Sending them back.")),
        Paragraph(f"{', '.join((shop.name, *shop.address))}.", lead=_("Our address.")),
    ]
