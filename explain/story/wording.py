"""Numbers in words: signs, units, money, dates and lists. Every rounding on the page happens here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, lru_cache

from msgspec import Struct

from explain.language import SOURCE, _, in_context, plural, spoken
from explain.optics.spread import Spread

MINUS = "\u2212"
NO_BREAK = "\u00a0"
NO_BREAK_HYPHEN = "\u2011"
_SPANISH_JOINERS = (
    (re.compile(r"h?[ií](?![aeo])", re.IGNORECASE), "y", "e"),
    (re.compile(r"h?[oó]|8|11\b", re.IGNORECASE), "o", "u"),
)
_CARD_MM = 0.76  # thickness of a bank card (ISO/IEC 7810, from memory)


@lru_cache(maxsize=1024)
def rounded(value: float, places: int) -> Decimal:
    """Round half away from zero, as a reader would; never gives minus nought.

    Kept, as powers and other steps of an order are asked for in several places.

    >>> rounded(-0.125, 2), rounded(-0.001, 2)
    (Decimal('-0.13'), Decimal('0.00'))
    """
    result = Decimal(repr(float(value))).quantize(_step(places), ROUND_HALF_UP)
    return result or abs(result)


@cache
def _step(places: int) -> Decimal:
    """The last place as a number: 0.01 for 2."""
    return Decimal(1).scaleb(-places)


def signed(value: float, places: int = 2) -> str:
    """Give a number with its sign in front, as prescriptions have it.

    >>> signed(1.25), signed(-0.5), signed(0.0)
    ('+1.25', '−0.50', '0.00')
    """
    return _written(value, places, spoken().decimal_mark, "+")


@lru_cache(maxsize=1024)
def _written(value: float, places: int, decimal_mark: str, plus: str) -> str:
    """Round a number and write it, plus before it where it is above 0; minus as a proper minus sign.

    Kept, as a page says many of its figures in several places.
    """
    number = rounded(value, places)
    text = str(number).replace("-", MINUS).replace(".", decimal_mark)
    return f"{plus}{text}" if number > 0 else text


def dioptres(value: float) -> str:
    """Give a power with its sign and two places."""
    return signed(value)


def plain(value: float, places: int) -> str:
    """Give a number without a plus sign; minus as a proper minus sign.

    >>> plain(4.25, 1), plain(-2, 0)
    ('4.3', '−2')
    >>> from explain.language import speaking
    >>> with speaking("es_ES"):
    ...     plain(4.25, 1), signed(-0.5)
    ('4,3', '−0,50')
    """
    return _written(value, places, spoken().decimal_mark, "")


def mm(value: float) -> str:
    r"""Give a length in millimeters, one place.

    >>> mm(4.536)
    '4.5\xa0mm'
    """
    return f"{plain(value, 1)}{NO_BREAK}mm"


def sixteenths(value_mm: float) -> str:
    r"""Give a small length in inches to the nearest 1/16, for a US ruler.

    >>> sixteenths(4.5), sixteenths(26.0), sixteenths(0.2)
    ('3/16\xa0in', '1\xa0in', 'under 1/16\xa0in')
    """
    count = _count_of_sixteenths(value_mm)
    if count == 0:
        return _("under {length}", length=_inches("1/16"))
    whole, rest = divmod(count, 16)
    part = str(Fraction(rest, 16)) if rest else ""
    return _inches(NO_BREAK.join(word for word in (str(whole) if whole else "", part) if word))


def _count_of_sixteenths(value_mm: float) -> int:
    return round(value_mm / 25.4 * 16)


def _inches(number: str) -> str:
    unit = in_context("unit", "in")
    return f"{number}{NO_BREAK}{unit}"


def mm_with_inches(value: float) -> str:
    r"""Give a length a reader may measure at home: millimeters, then inches.

    >>> mm_with_inches(4.536)
    '4.5\xa0mm (about 3/16\xa0in)'
    """
    inches = sixteenths(value)
    about = _("about {length}", length=inches) if _count_of_sixteenths(value) else inches
    return f"{mm(value)} ({about})"


def cm_with_inches(value_cm: float) -> str:
    r"""Give a distance: whole centimeters and whole inches, meters and feet from 2 m on.

    >>> cm_with_inches(40), cm_with_inches(600)
    ('40\xa0cm (16\xa0in)', '6\xa0m (20\xa0ft)')
    """
    if value_cm >= 200:
        metres = plain(value_cm / 100, 0 if rounded(value_cm / 100, 1) % 1 == 0 else 1)
        feet = in_context("unit", "ft")
        return f"{metres}{NO_BREAK}m ({plain(value_cm / 30.48, 0)}{NO_BREAK}{feet})"
    if value_cm < 10:
        return f"{plain(value_cm, 0)}{NO_BREAK}cm ({sixteenths(value_cm * 10)})"
    return f"{plain(value_cm, 0)}{NO_BREAK}cm ({_inches(plain(value_cm / 2.54, 0))})"


def grams(value: float) -> str:
    r"""Give a weight in whole grams.

    >>> grams(17.6)
    '18\xa0g'
    """
    return f"{plain(value, 0)}{NO_BREAK}g"


def grams_with_ounces(value: float) -> str:
    r"""Give a weight in grams, then ounces.

    >>> grams_with_ounces(18.2)
    '18\xa0g (0.6\xa0oz)'
    """
    ounces = in_context("unit", "oz")
    return f"{grams(value)} ({plain(value / 28.3495, 1)}{NO_BREAK}{ounces})"


def bank_cards(value_mm: float) -> str:
    """Compare a thickness with stacked bank cards of 0.76 mm.

    >>> bank_cards(4.5), bank_cards(0.8)
    ('about 6 bank cards stacked', 'about 1 bank card')
    """
    count = max(1, round(value_mm / _CARD_MM))
    return plural("about {count} bank card", "about {count} bank cards stacked", count)


def thousands(count: int) -> str:
    """Give a large whole number with its thousands apart, as the language being spoken writes it.

    >>> thousands(350), thousands(20000)
    ('350', '20,000')
    """
    from babel.numbers import format_decimal  # slow to import; not needed to check an order

    text: str = format_decimal(count, locale=spoken().locale)
    return text


def degrees(value: float) -> str:
    """Give an angle in whole degrees; a half stays a half.

    >>> degrees(172), degrees(77.5)
    ('172', '77.5')
    """
    return plain(value, 0 if float(value).is_integer() else 1)


def listed(words: Sequence[str], joiner: str = "and") -> str:
    """Join words as a sentence does in the language being spoken. joiner: "and" or "or".

    >>> listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"]), listed(["a", "b"], "or")
    ('a', 'a and b', 'a, b and c', 'a or b')
    >>> from explain.language import speaking
    >>> with speaking("es_ES"):
    ...     listed(["a", "b", "c"]), listed(["derecha", "izquierda"]), listed(["7", "8"], "or")
    ('a, b y c', 'derecha e izquierda', '7 u 8')
    """
    if len(words) <= 1:
        return "".join(words)
    if spoken().code == SOURCE:
        return f"{', '.join(words[:-1])} {joiner} {words[-1]}"
    from babel.lists import format_list

    text: str = format_list(words, style="or" if joiner == "or" else "standard", locale=spoken().locale)
    return _spanish_joined(text, words[-1]) if spoken().code == "es" else text


def _spanish_joined(text: str, last: str) -> str:
    """Spanish says e for y before the sound of i, and u for o before that of o (its academy's rule, from memory)."""
    for sound, joiner, instead in _SPANISH_JOINERS:
        if sound.match(last):
            return re.sub(f" {joiner} (?={re.escape(last)}$)", f" {instead} ", text)
    return text


def counted(count: int, one: str, many: str) -> str:
    """Say how many, in numerals.

    >>> counted(1, "lens", "lenses"), counted(2, "lens", "lenses")
    ('1 lens', '2 lenses')
    """
    return f"{count} {one if count == 1 else many}"


def between(spread: Spread, places: int = 0) -> str:
    """Give a range in words; both ends alike once rounded are said once.

    >>> between(Spread(15.2, 40)), between(Spread(89.61, 89.62), 1)
    ('15 to 40', '89.6')
    """
    low, high = plain(spread.low, places), plain(spread.high, places)
    return low if low == high else _("{low} to {high}", low=low, high=high)


def duration(time_s: float) -> str:
    """Give a time in seconds up to 90, then in whole minutes.

    >>> duration(45), duration(60), duration(300)
    ('45 seconds', '1 minute', '5 minutes')
    """
    if time_s == 60 or time_s > 90:
        return plural("{count} minute", "{count} minutes", int(rounded(time_s / 60, 0)))
    return plural("{count} second", "{count} seconds", int(rounded(time_s, 0)))


def warmth(celsius: float) -> str:
    r"""Give a temperature in both scales, whole degrees.

    >>> warmth(21)
    '21\xa0°C (70\xa0°F)'
    """
    return f"{plain(celsius, 0)}{NO_BREAK}°C ({plain(celsius * 9 / 5 + 32, 0)}{NO_BREAK}°F)"


def sentence_case(text: str) -> str:
    """Start with a capital letter and leave the rest alone."""
    return text[:1].upper() + text[1:]


def inside_sentence(name: str) -> str:
    """Write a name as it stands inside a sentence.

    >>> inside_sentence("Standard plastic 1.50")
    'standard plastic 1.50'
    """
    return name[:1].lower() + name[1:]


class Place(Struct, frozen=True):
    """Where the reader is: the locale and the shop's currency, for money and dates."""

    locale: str
    currency: str

    def money(self, amount: Decimal) -> str:
        """Give an amount with its symbol and 2 places, with a proper minus sign."""
        text = _amount(abs(amount), self.currency, self.locale)
        return f"{MINUS}{text}" if amount < 0 else text

    def money_change(self, amount: Decimal) -> str:
        """Give a difference in money with its sign; no difference is said in words."""
        if amount == 0:
            return _("no difference")
        return f"{'+' if amount > 0 else ''}{self.money(amount)}"

    def day(self, when: date) -> str:
        """Give a date with the month in words."""
        return _day(when, self.locale)

    def short_day(self, when: date) -> str:
        """Give a date with the month in letters and without the year, as in a diary."""
        return _short_day(when, self.locale)


@lru_cache(maxsize=1024)
def _day(when: date, locale: str) -> str:
    """A date in words; kept, as the orders of a shop fall on the same few days."""
    from babel.dates import format_date  # slow to import; not needed to check an order

    text: str = format_date(when, format="long", locale=locale)
    return text


@lru_cache(maxsize=1024)
def _short_day(when: date, locale: str) -> str:
    """A date in words without the year; kept, as each diary holds fourteen of the same few weeks."""
    from babel.dates import format_skeleton

    text: str = format_skeleton("MMMd", when, locale=locale)
    return text


@lru_cache(maxsize=1024)
def _amount(amount: Decimal, currency: str, locale: str) -> str:
    """An amount with its symbol; kept, as a list of prices holds the same few on every page."""
    from babel.numbers import format_currency  # slow to import; not needed to check an order

    text: str = format_currency(amount, currency, locale=locale)
    return text
