"""The text of an answer: what it asks to be placed, where its links lead, and what would be left out."""

from __future__ import annotations

import re
from collections.abc import Iterable

from explain.order.answer_keys import FIGURES, IN_MATERIAL, SHOP_FACTS, TABLES, VALUES, WITHOUT_EXAMPLE
from explain.order.faults import Findings, Remark
from explain.order.keys import MATERIALS, in_words, nearest
from explain.order.numbers import cut

PLACE = re.compile(r"\[\[(?P<asked>[^\[\]\n]*)\]\]")
BLOCK_PLACE = re.compile(r"\[\[(?P<kind>figure|table): (?P<name>[a-z-]+)\]\]")
VALUE = re.compile(r"value: (?P<name>[a-z0-9_]+)(?: in (?P<material>[a-z0-9.-]+))?")
LINK = re.compile(r"\]\(\s*<?(?P<to>[^)\s>]*)")
ANSWER_LINK = re.compile(r"(?P<name>[A-Za-z0-9-]+)\.(?:html|md)(?:#.*)?")
RAW_HTML = re.compile(r"</?[A-Za-z][^>\n]*>?|<!(?!--)")
COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
SAFE_LINKS = ("tel:", "mailto:", "https://", "#")
PLACES = "Between [[ and ]] stands figure: NAME or table: NAME on a line of its own, value: NAME, or one of: " + (
    ", ".join(SHOP_FACTS) + "."
)


def doubt_text(text: str, first_line: int, findings: Findings, *, names: frozenset[str], has_example: bool) -> None:
    """Note every fault of a text. names: the answers that there are, or none to leave links to others alone."""
    for at, line in enumerate(_without_comments(text).split("\n"), start=first_line):
        for remark in (*_places(line, has_example=has_example), *_headings(line), *_links(line, names)):
            findings.fault("", at, remark)
        for remark in left_out(line):
            findings.doubt("", at, remark)


def left_out(line: str) -> Iterable[Remark]:
    """Say what of a line of Markdown does not reach the page: HTML, pictures, links that run something."""
    allowed = "Pages hold words, lists, bold, links to other answers, to https://, a phone number or an email address."
    html = RAW_HTML.search(line)
    if html:
        advice = "Take it out. Use ** for bold and a blank line between paragraphs."
        yield Remark(f"{cut(html.group())} is HTML and is left out", allowed, advice)
    if "![" in line:
        yield Remark("a picture is asked for here and is left out", allowed, "Take it out, or say it in words.")
    for to in (found["to"] for found in LINK.finditer(line)):
        if not (to.lower().startswith(SAFE_LINKS) or ANSWER_LINK.fullmatch(to)):
            yield Remark(f"a link to {cut(to)} is left out", allowed, "Give another address, or take it out.")


def _without_comments(text: str) -> str:
    """A text without its comments, its lines where they were."""
    return COMMENT.sub(lambda found: "\n" * found.group().count("\n"), text)


def _headings(line: str) -> Iterable[Remark]:
    if re.match(r"#(?!#{1,2} )", line):
        allowed = "The question is the page's heading. Smaller ones start with ## and a space."
        yield Remark("this heading has the wrong rank", allowed, "Type it as in:   ## What to do")


def _links(line: str, names: frozenset[str]) -> Iterable[Remark]:
    for found in LINK.finditer(line):
        link = ANSWER_LINK.fullmatch(found["to"])
        if not link or not names or link["name"] in names:
            continue
        near = nearest(link["name"], names)
        advice = f"Perhaps you meant:   {near}.html" if near else "Check its name, or take the link out."
        allowed = "A link to another answer is the name of its file, with .html in place of .md."
        yield Remark(f"there is no answer {cut(link['name'])} to link to", allowed, advice)


def _places(line: str, *, has_example: bool) -> Iterable[Remark]:
    for found in PLACE.finditer(line):
        asked = found["asked"].strip()
        kind, _, name = (part.strip() for part in asked.partition(":"))
        if kind in ("figure", "table"):
            yield from _block_place(kind, name, line, has_example=has_example)
        elif kind == "value":
            yield from _value(asked, has_example=has_example)
        elif asked not in SHOP_FACTS:
            near = nearest(kind, ("figure", "table", "value", *SHOP_FACTS))
            advice = f"Perhaps you meant:   {near}" if near else "Check the spelling, or take it out."
            yield Remark(f"{cut(found.group())} cannot be placed", PLACES, advice)
    if "[[" in PLACE.sub("", line):
        yield Remark("[[ has no ]] on its line", PLACES, "Close it, for example:   [[value: thickest_mm]]")


def _block_place(kind: str, name: str, line: str, *, has_example: bool) -> Iterable[Remark]:
    known = FIGURES if kind == "figure" else TABLES
    if name not in known:
        yield _unknown(kind, name, known)
    elif not has_example and name not in WITHOUT_EXAMPLE:
        yield _no_example(f"the {kind} {name}")
    if not BLOCK_PLACE.fullmatch(line.strip()) and name in known:
        advice = f"Put it between two blank lines, starting at the left edge:   [[{kind}: {name}]]"
        yield Remark(f"the {kind} {name} does not stand on a line of its own", PLACES, advice)


def _value(asked: str, *, has_example: bool) -> Iterable[Remark]:
    found = VALUE.fullmatch(asked)
    name = found["name"] if found else asked.partition(":")[2].strip()
    if not found or name not in VALUES:
        yield _unknown("value", name, VALUES)
        return
    if not has_example:
        yield _no_example(f"the value {name}")
    material = found["material"]
    if material is None:
        return
    if name not in IN_MATERIAL:
        yield Remark(
            f"the value {name} does not depend on the material alone",
            f"These can be asked for in a material: {', '.join(IN_MATERIAL)}.",
            f"Type it alone:   [[value: {name}]]",
        )
    if material not in MATERIALS:
        near = nearest(material, MATERIALS)
        advice = f"Perhaps you meant:   {near}" if near else "Check the spelling."
        yield Remark(f"{cut(material)} is not a material we know", f"One of: {in_words(MATERIALS)}.", advice)


def _unknown(kind: str, name: str, known: Iterable[str]) -> Remark:
    near = nearest(name.replace("_", "-"), [word.replace("_", "-") for word in known]) if name else None
    meant = next((word for word in known if near and word.replace("_", "-") == near), None)
    advice = f"Perhaps you meant:   [[{kind}: {meant}]]" if meant else "Check the spelling, or take it out."
    return Remark(f"there is no {kind} {cut(name)}", f"A {kind} is one of: {in_words(known)}.", advice)


def _no_example(what: str) -> Remark:
    return Remark(
        f"{what} is worked out for an example, and this answer has none",
        "An example is an order's prescription, frame and lenses, in the header.",
        "Add it to the header:   example: {prescription: ..., frame: ..., lenses: ...}",
    )
