"""Fitting: how the pair should sit, how its wearer checks that at home, and who sets it right."""

from __future__ import annotations

from explain.order.model import Order, Shop
from explain.story.blocks import Block, Checks, Note, Paragraph, PicturedStep, Prose, Section, Table
from explain.story.pair import Pair
from explain.story.sketches import sketches
from explain.story.true_size import height_given, lens_to_compare, pupil_is_known

HEADING = "How they should sit"
INTRO = (
    "A frame that sits crooked can make a correct lens feel wrong. "
    "Check 5 things at a mirror, or with somebody beside you."
)
INTRO_CHILD = "Check these 5 things with your child sitting down and looking at you."
STRAIGHT_ARMS = sketches("arms-straight", "arms-pinch")
TWO_FACES = sketches("face-level", "face-crooked")

FIRST_CHECKS = (
    PicturedStep(
        "Set the open pair on a flat table.",
        "It touches at 3 places: the front and the end of each arm. Both lenses are equally high.",
        sketches("hold", "table-side", "table-front", "table-points"),
    ),
    PicturedStep(
        "Put them on, and feel along both arms.",
        "They run straight back and touch your head only near the ears.",
        STRAIGHT_ARMS,
    ),
    PicturedStep("Look straight into the mirror.", "With your head level, both lenses are equally high.", TWO_FACES),
    PicturedStep(
        "Blink a few times.",
        "Your lashes touch nothing, and both lenses are equally far from your eyes.",
        sketches("lashes-clear", "lashes-touch"),
    ),
)
CHILD_CHECKS = (
    PicturedStep(
        "Eyes.",
        "Both eyes sit the same way in their lenses, often a little to the nose side of the middle.",
        TWO_FACES,
    ),
    PicturedStep("Nose.", "The pads or the bridge lie flat on both sides. A mark is even and fades soon."),
    PicturedStep(
        "Ears.",
        "The arms run straight back and bend a little behind the ear. There is no deep line in the skin.",
        STRAIGHT_ARMS,
    ),
    PicturedStep("Cheeks.", "The frame does not lift when your child smiles."),
    PicturedStep("Staying up.", "Let your child look down at the floor and shake the head. The pair stays in place."),
)
SIGNS = (
    ("1 side sits high: the ears differ, or an arm is bent", "Please make these level on the face.", "Front"),
    ("They slide down: the arms hold too little", "Please set the arms so that these do not slide.", "Side"),
    ("They pinch at the temples: the arms are too close", "Please open the arms a little.", "Above"),
    ("A red mark on 1 side of the nose: that pad presses", "Please set the nose pads evenly.", "Front"),
    ("Lashes touch: the front is too close", "Please move the front away from the lashes.", "Side"),
    ("The eyes are too high or low in the lenses", "Please set the height at the nose.", "Front"),
)
"""What a sign means, what to ask any optician for, and what to photograph (common practice, no source)."""


def fit_section(pair: Pair) -> Section:
    """Part 9 of the page: the home check, what each sign means, who sets it right and how to reach us."""
    checked = _checked_child() if "child" in pair.order.wearer else _checked(pair)
    after = [
        Prose("adjusting"),
        Paragraph(photo_text(pair.shop), lead="Photos."),
        *sending_back(pair.order, pair.shop),
    ]
    return Section("fit", HEADING, HEADING, (*checked, *_compared(pair), *_signs(pair.order), *after))


def _checked(pair: Pair) -> list[Block]:
    return [Paragraph(INTRO), Checks(checks(pair))]


def _checked_child() -> list[Block]:
    return [Paragraph(INTRO_CHILD), Checks(CHILD_CHECKS)]


def _signs(order: Order) -> list[Block]:
    """What is common, then what each sign means; a child cannot be asked about lashes and pupils."""
    if "child" in order.wearer:
        return [Prose("sits-right-child"), signs_table(SIGNS[:-2])]
    return [Prose("sits-right"), signs_table(SIGNS)]


def checks(pair: Pair) -> tuple[PicturedStep, ...]:
    """The five checks of a grown-up wearer; the last one by what the order knows of the pupils."""
    return (*FIRST_CHECKS, last_check(pair))


def last_check(pair: Pair) -> PicturedStep:
    """Check the eyes: with the ring, the broken line or the line of a bifocal; alike in both where nothing was made."""
    design, eye = pair.order.lenses.design, pair.eyes[0]
    if design == "plano":
        return PicturedStep("Look straight ahead.", "Both eyes sit the same way in their lenses.")
    if design == "reading":
        return PicturedStep("Look at a page.", "Somebody sees each pupil on the broken line of the picture below.")
    if design == "bifocal" and height_given(pair, eye) is not None:
        return PicturedStep("Look straight ahead.", "The line of each window is level with your lower lid.")
    if pupil_is_known(pair, eye):
        return PicturedStep("Look straight ahead.", "A ruler shows each pupil as high as in the picture below.")
    return PicturedStep("Look straight ahead.", "Each pupil is on the broken line of the picture below.")


def _compared(pair: Pair) -> list[Block]:
    """The lens at true size, and what we took for granted; nothing where no check of the pair looks at it."""
    unknown = all(height_given(pair, eye) is None for eye in pair.eyes)
    if pair.order.lenses.design == "plano" or (unknown and "child" in pair.order.wearer):
        return []
    blocks: list[Block] = [lens_to_compare(pair)]
    if unknown:
        text = "No height was measured, so each lens is centered half-way up its frame."
        blocks.append(Note(text, label="What we assumed"))
    return blocks


def signs_table(signs: tuple[tuple[str, str, str], ...]) -> Table:
    """What a sign means, and what to ask any optician nearby for."""
    note = "If the frame breaks in another shop's hands, they may not pay for it."
    return Table("If something is off", ("What you see, and why", "Say to any optician", "Photo for us"), signs, note)


def photo_text(shop: Shop) -> str:
    """Say how to take a photo that shows the fit, and where it goes."""
    to = f"Send it to {shop.email}." if shop.email else f"Call {shop.phone}, and we tell you where to send it."
    return f"Keep your head level. The camera is an arm's length away and as high as your eyes. {to}"


def sending_back(order: Order, shop: Shop) -> list[Block]:
    """Say how to send the pair back, and to what address."""
    how = f"Call first. Pack the pair in its hard case and a box, with the order number {order.number} on a slip."
    return [
        Paragraph(how, lead="Sending them back."),
        Paragraph(f"{', '.join((shop.name, *shop.address))}.", lead="Our address."),
    ]
