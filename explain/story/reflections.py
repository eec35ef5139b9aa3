"""Reflections: what a bare and a layered lens let through and throw back, and where second images come from."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import product
from typing import Any

import numpy as np
from msgspec import Struct

from explain.facts import data_file
from explain.language import _, said_once
from explain.optics.coating import (
    Film,
    behind_share,
    ghost_share,
    luminous_ghost,
    luminous_reflectance,
    quarter_wave_film,
)
from explain.optics.reflection import coated_transmittance, surface_reflectance
from explain.optics.spread import Spread
from explain.story.blocks import Table
from explain.story.pair import InMaterial, Pair
from explain.story.wording import between, plain, thousands


class Faces(Struct, frozen=True):
    """Share of light that each face of a lens throws back [ratio], as an eye judges it, all worked out.

    four_films: least and most when films come out a little thick or thin. ghost: most brightness of the second image
    of a lamp ahead, against the lamp, behind four films.
    """

    bare: float
    one_film: float
    four_films: Spread
    ghost: float


@cache
def faces(index: float) -> Faces:
    """Work out how much light each face of a lens of this index throws back, bare and with our example layers."""
    sensitivity = data_file("coating")["luminous_efficiency_by_nm"]["use"]
    four = four_films_as_made()
    off = luminous_reflectance(four, index, sensitivity)
    return Faces(
        bare=surface_reflectance(index),
        one_film=float(luminous_reflectance((one_film(),), index, sensitivity)),
        four_films=Spread(float(np.min(off)), float(np.max(off))),
        ghost=float(np.max(luminous_ghost(four, index, sensitivity))),
    )


def one_film() -> Film:
    """Our example of a layer of one film, from data/coating.yaml."""
    facts = data_file("coating")["single_film"]["use"]
    return quarter_wave_film(facts["index"], facts["quarter_wave_at_nm"])


def four_films() -> tuple[Film, ...]:
    """Our example of a layer of four films, from the air inwards, from data/coating.yaml."""
    return tuple(Film(film["index"], film["thickness_nm"]) for film in data_file("coating")["four_films"]["use"])


def four_films_as_made() -> tuple[Film, ...]:
    """The four films as planned, and with each of them too thin or too thick, in every way these come together.

    Each thickness is a column of 81, a row for each of those ways.
    """
    off = data_file("coating")["thickness_off_share"]
    planned = four_films()
    ways = np.array(list(product((1, 1 - off, 1 + off), repeat=len(planned))))
    return tuple(Film(film.index, film.thickness_nm * ways[:, [at]]) for at, film in enumerate(planned))


def reflected_per_100(pair: Pair) -> float:
    """Light thrown back by both faces of a bare lens in the chosen material, of every 100."""
    return reflected_of_100(pair.chosen)


def reflected_of_100(made: InMaterial) -> float:
    """Light that both bare faces of lenses in a material throw back, of every 100 parts."""
    return 100 - passed_of_100(surface_reflectance(made.material.index_at_587_6_nm))


def light_thrown_back(pair: Pair) -> str:
    """Say how much light layers as sold throw back, and how much the bare lens would."""
    sold, bare = as_sold_of_100(), plain(reflected_per_100(pair), 0)
    return _(
        "about {low} to {high} of 100 parts of light, not {bare}",
        low=plain(sold.low, 1),
        high=plain(sold.high, 1),
        bare=bare,
    )


def passed_of_100(reflectance: float) -> float:
    """Light that passes both faces at the first try, of every 100 parts; the material itself is clear."""
    return 100 * coated_transmittance(reflectance)


def as_sold_of_100() -> Spread:
    """Light that both faces of a lens with a layer as sold throw back, of every 100 parts: published figures."""
    sold = data_file("coating")["as_sold_thrown_back_of_100"]
    return Spread(sold["low"], sold["high"])


def each_face_as_sold() -> Spread:
    """Share of light that each face then throws back [ratio], from the published figures for both faces."""
    sold = as_sold_of_100()
    return Spread(*(1 - (1 - both / 100) ** 0.5 for both in (sold.low, sold.high)))


@said_once(64)
def light_table(index: float, *, clear: bool, price: str | None) -> Table:
    """Set a layered lens of this index beside a bare one: what each face and both throw back, and what passes.

    clear: a lens without dye; in a dyed one only what each face throws back is told. price: what was paid for the
    layer, None where there is none; yours is the first row.
    """
    lens = faces(index)
    example = (_("4 fine films, our example"), lens.four_films, "")
    bare = Spread(lens.bare, lens.bare)
    if price is None:
        kinds = [(_("Yours, bare"), bare, ""), example, (_("Layers as sold"), each_face_as_sold(), "")]
    else:
        kinds = [(_("Yours"), each_face_as_sold(), price), example, (_("Leave it off: bare"), bare, _("no charge"))]
    columns = ("", _("Each face throws back"), *((_("Both faces"), _("Passes")) if clear else ()))
    rows = tuple((name, *_cells(face, clear=clear), *(() if price is None else (paid,))) for name, face, paid in kinds)
    columns = columns if price is None else (*columns, _("Price"))
    return Table(_("Of every 100 parts of light"), columns, rows, _table_note(price))


def _cells(each_face: Spread, *, clear: bool) -> tuple[str, ...]:
    """What each face throws back, both do, and what passes, of 100, as ranges."""
    each = between(Spread(100 * each_face.low, 100 * each_face.high), 1)
    passes = Spread(passed_of_100(each_face.high), passed_of_100(each_face.low))
    back = Spread(100 - passes.high, 100 - passes.low)
    return (each, between(back, 1), between(passes, 1)) if clear else (each,)


def _table_note(price: str | None) -> str:
    off = plain(100 * data_file("coating")["thickness_off_share"], 0)
    published = (
        _("Layers as sold are popular figures; we found no checked study.")
        if price is None
        else _("Yours are published figures for such layers, not measured on yours.")
    )
    rest = _(
        "The rest is worked out. "
        "The 4 films, up to {off} in 100 too thick or too thin, are not the layer on your lens.",
        off=off,
    )
    return f"{published} {rest}"


def reflection_numbers(pair: Pair) -> dict[str, Any]:
    """Figures of this part in full precision, for the chosen material; each range as low and high."""
    lens = faces(pair.chosen.material.index_at_587_6_nm)
    kinds = {
        "bare": Spread(lens.bare, lens.bare),
        "one_film": Spread(lens.one_film, lens.one_film),
        "four_films": lens.four_films,
        "as_sold": each_face_as_sold(),
    }
    return {name: _kind_numbers(face) for name, face in kinds.items()} | {
        "second_lamp_bare_ratio": ghost_share(lens.bare),
        "second_lamp_four_films_at_most_ratio": lens.ghost,
    }


def _kind_numbers(each_face: Spread) -> dict[str, Any]:
    passes = Spread(passed_of_100(each_face.high), passed_of_100(each_face.low))
    return {
        "each_face_of_100": [100 * each_face.low, 100 * each_face.high],
        "both_faces_of_100": [100 - passes.high, 100 - passes.low],
        "passed_of_100": [passes.low, passes.high],
        "from_behind_of_100": [100 * behind_share(each_face.low), 100 * behind_share(each_face.high)],
    }


@said_once(64)
def ghost_texts(index: float, *, layered: bool) -> tuple[str, ...]:
    """Say where the second images in a lens of this index come from, and how strong they are.

    layered: say as well what our example layer does to them. From behind: source ar_page. Lamps ahead: common practice,
    no source; the figures are worked out.
    """
    lens = faces(index)
    found = (_from_behind(lens), _from_ahead(lens))
    return (*found, _with_layer(lens)) if layered else found


def _from_behind(lens: Faces) -> str:
    share = plain(100 * behind_share(lens.bare), 0)
    return _(
        "A bare lens in your material sends about {share} in 100 of the light from behind you to your eyes. "
        "You may see a window behind you, or your own eye.",
        share=share,
    )


def _from_ahead(lens: Faces) -> str:
    return _(
        "Ahead of you at night, some light of a lamp bounces off the back face, then off the front face. "
        "You may see it as a second, faint lamp. "
        "In a bare lens it has 1 part in {parts} of the light of the first.",
        parts=one_in(float(ghost_share(lens.bare))),
    )


def _with_layer(lens: Faces) -> str:
    behind = _of_100(behind_share, lens.four_films)
    return _(
        "With our example of 4 fine films, {share} in 100 of the light from behind reaches your eyes. "
        "The second lamp then has less than 1 part in {parts} of the first. "
        "We worked this out, and did not measure it on yours.",
        share=between(behind, 1),
        parts=one_in(lens.ghost),
    )


def _of_100(share: Callable[[float], float], each_face: Spread) -> Spread:
    return Spread(100 * share(each_face.low), 100 * share(each_face.high))


def one_in(share: float) -> str:
    """Say a small share as 1 part in so many, rounded down to 1 figure above 1000 and to 2 below: a rough figure.

    >>> one_in(1 / 352.6), one_in(1 / 27123)
    ('350', '20,000')
    """
    count = int(1 / share)
    figures = 1 if count >= 1000 else 2
    step = 10 ** max(len(str(count)) - figures, 0)
    return thousands(count // step * step)
