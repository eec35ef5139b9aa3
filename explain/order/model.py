"""What an order says, once it has been read and doubted: whole, typed and frozen."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

from msgspec import Struct

from explain.optics.power import SphereCylinder
from explain.order.span import DEFAULT_MONTHS

Points = tuple[tuple[float, float], ...]


class Prism(Struct, frozen=True):
    """Ordered prism: amount in prism dioptres (above 0), base "up", "down", "in" (to the nose) or "out"."""

    amount_prism_dpt: float
    base: str


class EyePrescription(Struct, frozen=True):
    """What one eye needs, and the words it was typed in.

    power keeps the sign of cylinder that was written. A balance lens has no power of its own: power is None.
    """

    typed: str
    power: SphereCylinder | None
    prisms: tuple[Prism, ...] = ()
    add_dpt: float | None = None

    @property
    def is_balance(self) -> bool:
        """True for a lens made to match the other in looks, with no power prescribed."""
        return self.power is None


class Fit(Struct, frozen=True):
    """Where the eyes sit behind the frame [mm]. Height counts from the lowest line of the lens box.

    pd_* is the distance from the middle of the nose to each pupil, looking far; near_pd_* the same at the reading
    distance, None when not given. pd_was_split: one number was given and halved. A height of None: not given.
    """

    pd_right_mm: float
    pd_left_mm: float
    pd_was_split: bool = False
    near_pd_right_mm: float | None = None
    near_pd_left_mm: float | None = None
    height_right_mm: float | None = None
    height_left_mm: float | None = None


class TracedEye(Struct, frozen=True):
    """What a trace file says about one eye beside its outline; None where it does not say.

    Powers in dioptres, as written. Distances from the middle of the nose and heights above the lowest line of the
    lens box [mm]. lens_index: index of the lens material at the helium d line. vertex_mm: from
    the back of the lens to the eye.
    """

    sphere_dpt: float | None = None
    cylinder_dpt: float | None = None
    axis_deg: float | None = None
    add_dpt: float | None = None
    pd_mm: float | None = None
    near_pd_mm: float | None = None
    centre_height_mm: float | None = None
    segment_height_mm: float | None = None
    lens_index: float | None = None
    vertex_mm: float | None = None


class Traced(Struct, frozen=True):
    """What a trace file says about the order it was made for; the order itself wins where they differ.

    pd_was_split, near_pd_was_split: the file gives one distance for both eyes together, which we halved.
    """

    file: str
    right: TracedEye
    left: TracedEye
    pd_was_split: bool = False
    near_pd_was_split: bool = False


class Frame(Struct, frozen=True):
    """A frame in the boxing system [mm]. outline is a shape name, or the right lens's points about the box centre.

    left_outline: the left lens's own points about its box centre, where a tracer sent them; None: it mirrors the
    right one. A traced frame has the width and depth of its right outline. notes: what was assumed about the outline,
    as sentences for the customer. traced: what else the trace file says. traced_from: that file.
    """

    name: str
    colour: str | None
    lens_width_mm: float
    bridge_mm: float
    side_mm: float | None
    depth_mm: float
    outline: str | Points
    left_outline: Points | None = None
    notes: tuple[str, ...] = ()
    traced: Traced | None = None
    traced_from: Path | None = None


class Tint(Struct, frozen=True):
    """A fixed tint: its colour in words and its category 0 to 4."""

    colour: str
    category: int


class Lenses(Struct, frozen=True):
    """What was ordered for the lenses: keys of data/options.yaml and data/materials.yaml.

    design: single-vision, progressive, bifocal, reading or plano. base_curve_dpt: on the 1.530 scale, or None for
    the stated rule. blank_mm: diameter of the finished round the lenses are cut from, None where they are ground for
    the frame.
    """

    design: str
    material: str
    add_ons: tuple[str, ...] = ()
    tint: Tint | None = None
    base_curve_dpt: float | None = None
    vertex_mm: float | None = None
    blank_mm: float | None = None


class Checked(Struct, frozen=True):
    """What was measured on the finished pair. Anything not measured is None."""

    right: SphereCylinder | None
    left: SphereCylinder | None
    add_right_dpt: float | None
    add_left_dpt: float | None
    pd_right_mm: float | None
    pd_left_mm: float | None
    height_right_mm: float | None
    height_left_mm: float | None
    on: date | None
    right_prisms: tuple[Prism, ...] = ()
    left_prisms: tuple[Prism, ...] = ()
    centre_right_mm: float | None = None
    centre_left_mm: float | None = None


class Inspection(Struct, frozen=True):
    """What one person looked at on one day, in words for the customer."""

    things: tuple[str, ...]
    by: str
    on: date


class Accepted(Struct, frozen=True):
    """Who accepted a pair that lies outside a limit, and why, in words for the customer."""

    by: str
    why: str


class Previous(Struct, frozen=True):
    """The old pair, as far as it is known."""

    right: EyePrescription | None
    left: EyePrescription | None
    design: str | None


class Use(Struct, frozen=True):
    """One thing the pair is for, such as "driving"; distance_cm where the order names one."""

    what: str
    distance_cm: float | None = None


class PriceLine(Struct, frozen=True):
    """One line of the bill. choice names the option or material it pays for; tax names a tax of the shop."""

    item: str
    amount: Decimal
    choice: str | None = None
    tax: str | None = None


class Bill(Struct, frozen=True):
    """All lines of the bill; total is their sum, balance what is still to pay (0.00 when paid)."""

    lines: tuple[PriceLine, ...]
    total: Decimal
    paid: Decimal | None
    balance: Decimal | None


class Replaced(Struct, frozen=True):
    """The order that this pair was made again for: its number, what changed and why, in words for the customer."""

    order: str
    what: str
    why: str


class Order(Struct, frozen=True):
    """A whole order. right and left are None for an eye whose lens is not part of it.

    previous is None where the old pair is not known; is_first_pair: there was none. sent_on: None where not said.
    language: of the customer's page, as en; None where the shop's own holds.
    """

    number: str
    ordered_on: date
    first_name: str
    right: EyePrescription | None
    left: EyePrescription | None
    fit: Fit
    frame: Frame
    lenses: Lenses
    bill: Bill
    path: Path
    checked: Checked | None = None
    accepted: Accepted | None = None
    previous: Previous | None = None
    use: tuple[Use, ...] = ()
    wearer: tuple[str, ...] = ()
    inspected: tuple[Inspection, ...] = ()
    is_first_pair: bool = False
    sent_on: date | None = None
    language: str | None = None
    replaced: Replaced | None = None

    def __hash__(self) -> int:
        """By its number, so that what follows from an order can be kept; equal orders have the same one."""
        return hash(self.number)


class Offer(Struct, frozen=True):
    """A choice the shop offers today, with today's price."""

    choice: str
    price: Decimal


class Tax(Struct, frozen=True):
    """A tax line of the shop: key, name on the bill, and the reason in words."""

    key: str
    name: str
    why: str


class Shop(Struct, frozen=True):
    """The shop as the page knows it. Sentences are the shop's own words.

    csv_columns: headings of a table of orders, each with the dotted key of an order that it holds. language: of the
    pages of orders that name none. web_address: where its pages are published, without a slash at the end.
    retire_after_months: how long a page stays published; None for good. sealed: pages are uploaded as ciphertext, which
    only the whole link opens.
    """

    name: str
    optician: str
    phone: str
    email: str | None
    address: tuple[str, ...]
    hours: str
    currency: str
    locale: str
    returns: str
    remakes: str
    cover: str | None
    tax_number: str | None
    taxes: tuple[Tax, ...]
    materials: tuple[Offer, ...]
    add_ons: tuple[Offer, ...]
    standard: str
    path: Path
    largest_blank_mm: float | None = None
    csv_columns: tuple[tuple[str, str], ...] = ()
    language: str = "en"
    web_address: str | None = None
    retire_after_months: int | None = DEFAULT_MONTHS
    sealed: bool = False
