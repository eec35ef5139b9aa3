"""Reflections: what a bare and a layered lens let through and throw back, and where second images come from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import product

from explain.facts import data_file
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
from explain.story.blocks import Paragraph, Table
from explain.story.light import between
from explain.story.wording import plain


@dataclass(frozen=True, slots=True)
class Faces:
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
    off = [luminous_reflectance(films, index, sensitivity) for films in four]
    return Faces(
        bare=surface_reflectance(index),
        one_film=luminous_reflectance((one_film(),), index, sensitivity),
        four_films=Spread(min(off), max(off)),
        ghost=max(luminous_ghost(films, index, sensitivity) for films in four),
    )


def one_film() -> Film:
    """Our example of a layer of one film, from data/coating.yaml."""
    facts = data_file("coating")["single_film"]["use"]
    return quarter_wave_film(facts["index"], facts["quarter_wave_at_nm"])


def four_films() -> tuple[Film, ...]:
    """Our example of a layer of four films, from the air inwards, from data/coating.yaml."""
    return tuple(Film(film["index"], film["thickness_nm"]) for film in data_file("coating")["four_films"]["use"])


def four_films_as_made() -> tuple[tuple[Film, ...], ...]:
    """The four films as planned, and with each of them too thin or too thick, in every way these come together."""
    off = data_file("coating")["thickness_off_share"]
    planned = four_films()
    return tuple(_scaled(planned, shares) for shares in product((1, 1 - off, 1 + off), repeat=len(planned)))


def _scaled(films: tuple[Film, ...], shares: tuple[float, ...]) -> tuple[Film, ...]:
    return tuple(Film(film.index, film.thickness_nm * share) for film, share in zip(films, shares, strict=True))


def passed_of_100(reflectance: float) -> float:
    """Light that passes both faces at the first try, of every 100 parts; the material itself is clear."""
    return 100 * coated_transmittance(reflectance)


def light_passed_table(index: float) -> Table:
    """Set the light that passes a bare lens of this index beside that of a layered one, each named for what it is."""
    lens = faces(index)
    back = data_file("coating")["as_sold_thrown_back_of_100"]
    rows = (
        ("Bare, in your material (worked out)", *_passes_and_back(Spread(lens.bare, lens.bare))),
        ("With 4 fine films (worked out)", *_passes_and_back(lens.four_films)),
        ("Layers as sold (published)", *_both(Spread(100 - back["high"], 100 - back["low"]))),
    )
    return Table("Light, of every 100 parts", ("", "Passes", "Thrown back"), rows, _table_note())


def _table_note() -> str:
    off = plain(100 * data_file("coating")["thickness_off_share"], 0)
    return (
        f"The 4 films are our example, each up to {off} in 100 too thick or too thin. "
        "They are not the layer on your lens. "
        "The published figures come from popular pages. We found no checked study."
    )


def _passes_and_back(each_face: Spread) -> tuple[str, str]:
    return _both(Spread(passed_of_100(each_face.high), passed_of_100(each_face.low)))


def _both(passed: Spread) -> tuple[str, str]:
    """What passes and what is thrown back, of 100, as ranges."""
    return between(passed, 1), between(Spread(100 - passed.high, 100 - passed.low), 1)


def ghost_paragraphs(index: float, *, layered: bool) -> tuple[Paragraph, ...]:
    """Say where the second images in a lens of this index come from, and how strong they are.

    layered: say as well what our example layer does to them. From behind: source ar_page. Lamps ahead: common practice,
    no source; the figures are worked out.
    """
    lens = faces(index)
    found = (_from_behind(lens), _from_ahead(lens))
    return (*found, _with_layer(lens)) if layered else found


def _from_behind(lens: Faces) -> Paragraph:
    share = plain(100 * behind_share(lens.bare), 0)
    return Paragraph(
        f"A bare lens in your material sends about {share} in 100 of it to your eyes. "
        "Part comes off the back face, and part off the front face. "
        "You may see a window behind you, or your own eye.",
        lead="Light from behind you.",
    )


def _from_ahead(lens: Faces) -> Paragraph:
    return Paragraph(
        "Some light bounces off the back face, then off the front face. You may see it as a second, faint lamp. "
        f"In a bare lens it has 1 part in {one_in(ghost_share(lens.bare))} of the light of the first.",
        lead="Lamps ahead of you at night.",
    )


def _with_layer(lens: Faces) -> Paragraph:
    behind = _of_100(behind_share, lens.four_films)
    return Paragraph(
        f"With our example of 4 fine films, {between(behind, 1)} in 100 of the light from behind reaches your eyes. "
        f"The second lamp then has less than 1 part in {one_in(lens.ghost)} of the first. "
        "We worked this out, and did not measure it on yours.",
        lead="With an anti-reflective layer.",
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
    return f"{count // step * step:,}"
