"""Index page: the desk itself, one page of all orders, written at each build and never uploaded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from operator import attrgetter
from pathlib import Path

from markupsafe import Markup, escape
from msgspec import Struct
from msgspec.structs import replace

from explain.order.model import Shop
from explain.site.desk.link import page_link
from explain.site.desk.note import read_note
from explain.site.desk.papers import BENCH_NAME, html
from explain.site.desk.rows import LED_ON, NONE, PUBLISHED, RETIRED, Found, desk_rows, row_html
from explain.site.engine.record import Made
from explain.site.places import templates_folder
from explain.site.policy import digest
from explain.site.publish import write_whole
from explain.site.remakes import Remakes

INDEX_NAME = "index.html"
NEWEST = 200
"""Orders that the desk shows at length; older ones in short, so that ten thousand still open and can be searched."""
NO_DAY = "9999-12-31"


class Shown(Struct, frozen=True):
    """One order on the desk: what it is sorted and counted by, its link, and its row where that is not noted."""

    ordered_on: str
    number: str
    state: str
    link: str
    html: str | None = None
    made: Made | None = None


def write_desk(
    out: Path,
    made: Iterable[Made],
    others: Sequence[Path],
    found: Mapping[Path, Found],
    shop: Shop | None,
    remakes: Mapping[Path, Remakes] = NONE,
) -> Path:
    """Write the desk; give where it is.

    made: orders whose page is as their file says. others: order files whose page is not, or that have none; they are
    read, and found says what is already known of them. shop: of the pages made.
    """
    shown = _of_made(made, shop)
    for row in desk_rows(others, out, found, remakes):
        day = row.ordered_on.isoformat() if row.ordered_on else NO_DAY
        shown.append(Shown(day, row.number, row.state, row.link, row_html(row)))
    shown.sort(key=attrgetter("ordered_on", "number"), reverse=True)
    page = out / "private" / INDEX_NAME
    write_whole(page, desk_html(shown, out, remakes))
    return page


def desk_html(shown: Sequence[Shown], out: Path, remakes: Mapping[Path, Remakes] = NONE) -> str:
    """The desk as one page of HTML. It alone may run a script: ours, allowed by its digest."""
    code = script()
    return html(
        "desk.html",
        lang="en",
        title="Desk",
        newest=[_at_length(one, out, remakes) for one in shown[:NEWEST]],
        older=Markup("".join(map(in_short, shown[NEWEST:]))),  # noqa: S704  what differs is escaped
        count=len(shown),
        counts=Counter(one.state for one in shown),
        has_links=not any(one.link.startswith("upload/") for one in shown),
        script=Markup(code),  # noqa: S704  our own file
        script_hash=digest(code),
    )


def _of_made(made: Iterable[Made], shop: Shop | None) -> list[Shown]:
    states = {"page": PUBLISHED, "away": RETIRED}
    return [
        Shown(
            one.ordered_on,
            one.number,
            states.get(one.stands, LED_ON),
            page_link(shop, one.address, one.number) if shop else "",
            None,
            one,
        )
        for one in made
    ]


def _at_length(one: Shown, out: Path, remakes: Mapping[Path, Remakes]) -> Markup:
    row = one.html
    if one.made is not None:
        note = read_note(out / "private", one.number)
        row = note.row if note.file == one.made.digest else _row_without_note(one.made, out, remakes)
    return Markup(row or in_short(one))  # noqa: S704  rows come from our own template


def _row_without_note(made: Made, out: Path, remakes: Mapping[Path, Remakes]) -> str | None:
    """The row of an order whose note is damaged or gone, from its file and the record."""
    path = Path(made.path)
    rows = desk_rows([path], out, {path: ((), made.doubts)}, remakes)
    return row_html(replace(rows[0], is_changed=False)) if rows else None


def in_short(one: Shown) -> str:
    """One order in a line of a table: number, name, day and state, link and papers."""
    name = _safe(one.made.first_name) if one.made else ""
    led_to = f" to {escape(one.made.stands)}" if one.made and one.state == LED_ON else ""
    link = f'<span class="link">{escape(one.link)}</span>' if one.state == PUBLISHED else "do not send"
    number = _safe(one.number)
    return (
        f'<tr><th scope="row"><strong>{number}</strong> {name}, <time>{one.ordered_on}</time></th>'
        f'<td data-label="State"><span class="state">{one.state}{led_to}</span></td><td data-label="Link">{link}</td>'
        f'<td data-label="Papers"><a href="{number}/{BENCH_NAME}">Bench sheet</a></td></tr>\n'
    )


def _safe(text: str) -> str:
    """Text for HTML; most names and numbers need no escape, and there may be ten thousand of them."""
    return text if text.replace("-", "").isalnum() else escape(text)


@cache
def script() -> str:
    """The one script of the desk: it copies links and filters the table."""
    return (templates_folder() / "desk.js").read_text(encoding="utf-8")
