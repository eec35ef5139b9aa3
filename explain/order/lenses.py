"""What was ordered for the lenses: design, material, add-ons, tint."""

from __future__ import annotations

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import Lenses, Tint

CUT_FROM_STOCK = ("single-vision", "reading", "plano")
TINTED = ("sun-tint", "polarised", "light-reactive")


def read_lenses(section: Section | None) -> Lenses | None:
    """The lenses, or None when they are missing or faulty."""
    if section is None:
        return None
    design, material, add_ons = section.choice("design"), section.choice("material"), section.choices("add-ons")
    tint = _tint(section.child("tint"))
    base_curve, vertex, blank = section.number("base-curve"), section.number("vertex"), section.number("blank")
    _match_tint(section, add_ons)
    _match_blank(section, design)
    if design is None or material is None:
        return None
    return Lenses(design, material, add_ons, tint, base_curve, vertex, blank)


def _tint(section: Section | None) -> Tint | None:
    if section is None:
        return None
    colour, category = section.text("colour"), section.number("category")
    if colour is None or category is None:
        return None
    if not category.is_integer():
        section.fault(
            "category",
            Remark(
                f"category cannot be {category:g}",
                section.key("category").allowed,
                "Type a whole number, for example:   category: 3",
            ),
        )
        return None
    return Tint(colour, int(category))


def _match_tint(section: Section, add_ons: tuple[str, ...]) -> None:
    if "sun-tint" in add_ons and not section.has("tint"):
        section.fault(
            "add-ons",
            Remark(
                "sun-tint is ordered, but not which tint",
                "A sun-tint needs a colour and a category from 0 to 4.",
                "Add it beside the add-ons, for example:   tint: {colour: grey, category: 3}",
            ),
        )
    if section.has("tint") and not any(name in add_ons for name in TINTED):
        section.fault(
            "tint",
            Remark(
                "a tint is given, but no add-on that has one",
                "A tint belongs to sun-tint, polarised or light-reactive.",
                "Add it, for example:   add-ons: [sun-tint]   or take the tint out.",
            ),
        )


def _match_blank(section: Section, design: str | None) -> None:
    if section.has("blank") and design is not None and design not in CUT_FROM_STOCK:
        section.fault(
            "blank",
            Remark(
                f"{design} lenses are not cut from a finished round",
                "A blank belongs to single-vision, reading or plano lenses. Others are ground for the order.",
                "Take it out, or look at the design.",
            ),
        )
