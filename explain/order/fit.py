"""Where the eyes sit behind the frame: pupillary distances and fitting heights."""

from __future__ import annotations

from explain.order.distances import TypedDistances, read_centres, read_heights, read_pd
from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import Fit

NEED_HEIGHTS = ("progressive", "bifocal")


def read_fit(section: Section, depth_mm: float | None, design: str | None) -> Fit | None:
    """The fit, or None when the pupillary distance is missing or faulty."""
    pd, heights = pd_of(section, "pd"), heights_of(section, depth_mm)
    near = _near_pd(section, pd)
    if design in NEED_HEIGHTS and not section.has("heights"):
        key = section.key("heights")
        section.fault(
            "heights",
            Remark(
                f"{design} lenses need fitting heights, and there are none",
                key.allowed,
                f"Measure them and add them under prescription, for example:   {key.example}",
            ),
        )
    if pd is None:
        return None
    return Fit(
        pd.right_mm, pd.left_mm, pd.was_split,
        near.right_mm if near else None, near.left_mm if near else None,
        heights.right_mm if heights else None, heights.left_mm if heights else None,
    )  # fmt: skip


def pd_of(section: Section, name: str) -> TypedDistances | None:
    """The pupillary distance under a name."""
    raw = section.raw_text(name)
    return None if raw is None else section.attempt(name, lambda: read_pd(raw, name))


def heights_of(section: Section, depth_mm: float | None) -> TypedDistances | None:
    """The fitting heights of a group."""
    raw = section.raw_text("heights")
    return None if raw is None else section.attempt("heights", lambda: read_heights(raw, depth_mm))


def centres_of(section: Section) -> TypedDistances | None:
    """The centre thicknesses of a group."""
    raw = section.raw_text("centre")
    return None if raw is None else section.attempt("centre", lambda: read_centres(raw))


def _near_pd(section: Section, pd: TypedDistances | None) -> TypedDistances | None:
    written = pd_of(section, "near-pd") if section.has("near-pd") else None
    if section.has("near-pd") and pd and pd.near:
        section.fault(
            "near-pd",
            Remark(
                "the reading distance of the pupils is given twice",
                "It stands either in pd (far / near) or in near-pd.",
                "Take one of the two out, for example:   pd: 63",
            ),
        )
    if written and written.near:
        section.fault(
            "near-pd",
            Remark(
                "near-pd holds two numbers for both eyes together",
                section.key("near-pd").allowed,
                "Type the near one, for example:   near-pd: 60",
            ),
        )
    return written or (pd.near if pd else None)
