"""One value of an order as opticians type it: the same value in many forms, one beside what is allowed, anything."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from hypothesis import strategies as st

from explain.order.keys import Key

Typed = st.SearchStrategy[Any]
MINUS = st.sampled_from(("-", "-", "-", "\u2212", "\u2013"))
SHAPELESS = st.text(max_size=30)
WILD = st.one_of(
    SHAPELESS,
    st.sampled_from(
        ("", "~", "null", "yes", "NO", "0x1F", "1e9", ".nan", "-.inf", "12:30:00", "<<", "&a", "*a", "!x 1")
    ),
    st.integers().map(str),
    st.floats().map(str),
    st.lists(SHAPELESS, max_size=3),
    st.dictionaries(st.text(min_size=1, max_size=8), SHAPELESS, max_size=3),
    st.recursive(SHAPELESS, lambda inner: st.lists(inner, max_size=2), max_leaves=6),
)


@st.composite
def signed(draw: st.DrawFn, power: float) -> str:
    """A power with its sign: -3.25, \u22123,25, +2.00, +2."""
    sign = draw(MINUS) if power < 0 else "+"
    plain = f"{abs(power):.2f}"
    short = plain.rstrip("0").rstrip(".") if draw(st.booleans()) else plain
    text = sign + (draw(st.sampled_from((plain, plain, short))))
    return text.replace(".", ",") if draw(st.integers(0, 9)) == 0 else text


@st.composite
def power_line(draw: st.DrawFn, sphere: float, cylinder: float, axis: int) -> Any:
    """The line of one eye, or its parts as a group."""
    written = draw(signed(sphere)) if sphere else draw(st.sampled_from(("plano", "pl", "0.00", "+0.00", "Plano")))
    if not cylinder:
        ending = draw(st.sampled_from((" DS", " ds", " sph", " D.S.", "", " dpt", " 0.00")))
        return draw(st.sampled_from((f"{written}{ending}", {"sphere": written})))
    crossed = draw(signed(cylinder))
    turn = draw(st.sampled_from((f"{axis}", f"{axis:03}", f"{axis}°", f"{axis} deg")))
    cross = draw(st.sampled_from((" x ", "x", " X ", " × ", " ax ", " axis ", " @ ", " ")))
    between = draw(st.sampled_from((" ", " ", " / ", "/", ", ", " cyl ", "  ")))
    lead = draw(st.sampled_from(("", "", "", "sph ", "S ")))
    parts = {"sphere": written, "cylinder": crossed, "axis": str(axis)}
    return draw(st.sampled_from((f"{lead}{written}{between}{crossed}{cross}{turn}",) * 4 + (parts,)))


@st.composite
def pair_of_mm(draw: st.DrawFn, right: float, left: float) -> str:
    """Two distances, right then left."""
    between = draw(st.sampled_from((" / ", "/", " / ", "|", " and ", " ")))
    unit = draw(st.sampled_from(("", "", " mm", "mm")))
    return f"{right:g}{between}{left:g}{unit}"


@st.composite
def amount(draw: st.DrawFn, cents: int) -> str:
    """An amount of money."""
    text = f"{abs(cents) / 100:.2f}"
    sign = "-" if cents < 0 else ""
    return sign + draw(st.sampled_from((text, text, text, f"${text}", f"{text} USD", text.removesuffix(".00"))))


def near(key: Key) -> Typed:
    """A value that only just is, or only just is not, what the key allows."""
    ends = [end for end in (key.lowest, key.highest) if end is not None] or [0.0]
    beside = st.sampled_from(ends).flatmap(
        lambda end: st.sampled_from(
            (f"{end:g}", f"{end + 0.01:.2f}", f"{end - 0.01:.2f}", f"{-end:g}", f"{end:g} {key.unit}")
        )
    )
    example = key.example.partition(": ")[2]
    words = st.sampled_from(
        (example, example.upper(), f"{example}.", example[:-1], f"{example} {example}", f" {example}")
    )
    wrong = st.sampled_from((*key.choices, "varifocal", "sv", "polycarb", "english")).map(
        lambda word: word.replace("-", " ")
    )
    return st.one_of(beside, words, wrong)


def likely(key: Key) -> Typed:
    """A value that the key allows, by its kind; for the kinds that the whole orders do not draw themselves."""
    if key.kind in BY_KIND:
        return BY_KIND[key.kind](key)
    return st.just(key.example.partition(": ")[2])


def _choice(key: Key) -> Typed:
    return st.sampled_from(key.choices)


def _list(key: Key) -> Typed:
    if not key.choices:
        return st.just([key.example.partition(": ")[2]])
    return st.lists(st.sampled_from(key.choices), unique=True, max_size=3)


def _number(key: Key) -> Typed:
    low, high = key.lowest or 0.0, key.highest or 0.0
    return st.integers(int(low * 4), int(high * 4)).map(lambda quarters: f"{quarters / 4:g}")


def _day(_: Key) -> Typed:
    return st.dates(date(2020, 1, 1), date(2027, 12, 31)).map(str)


def _eye(_: Key) -> Typed:
    power = st.tuples(st.integers(-40, 40), st.integers(-12, 12), st.integers(1, 180))
    return power.flatmap(lambda one: power_line(one[0] / 4, one[1] / 4, one[2]))


def _distance(_: Key) -> Typed:
    halves = st.integers(50, 70).map(lambda half: half / 2)
    return st.tuples(halves, halves).flatmap(lambda both: pair_of_mm(*both))


def _amount(_: Key) -> Typed:
    return st.integers(-5000, 50_000).flatmap(amount)


BY_KIND: dict[str, Callable[[Key], Typed]] = {
    "choice": _choice, "list": _list, "number": _number, "date": _day, "eye": _eye, "distance": _distance,
    "amount": _amount,
}  # fmt: skip
