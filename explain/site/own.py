"""Own: the words, parts and answers that a shop keeps beside its orders; file by file they win over ours."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from msgspec import Struct

from explain.language import SOURCE
from explain.order.answer_text import COMMENT, left_out
from explain.order.document import read_text
from explain.order.faults import Doubt, Fault, Findings, OrderError, Remark
from explain.order.keys import LANGUAGES, nearest
from explain.site.places import as_text, is_text, templates_folder

WORDS, PARTS, ANSWERS = "words", "parts", "faq"
WORDS_OF = tuple(f"{WORDS}/{code}" for code in LANGUAGES if code != SOURCE)
"""Folders of the long words in other languages."""
REPLACING = ((WORDS, ".md"), *((folder, ".md") for folder in WORDS_OF), (PARTS, ".html"))
"""Folders whose files take the place of ours, and how the files end."""
PLACEHOLDERS = ("shop.name", "shop.optician", "shop.phone", "shop.hours", "for", "recheck_date")
PLACEHOLDER = re.compile(r"\{\{ ?([a-z_.]+) ?\}\}")
MARKS = re.compile(r"\{\{|\{%|\{#|\}\}|%\}|#\}")
MACRO = re.compile(r"{%-?\s*macro\s+(\w+)\(")
REACHING = re.compile(
    r"<\s*/?\s*(script|style|link|meta|base|i?frame|frameset|object|embed|form|template|portal|noscript)\b",
    re.IGNORECASE,
)
"""Elements that run, load, send or lead on by themselves. A page's policy stops most; <meta> and <link> it does not."""
NOT_IN_PARTS = "A part runs nothing, loads nothing from elsewhere and leads nobody on by itself."
NOT_OURS = re.compile(r"\..*|.*~|README\.md")
"""Files passed over: hidden ones, an editor's copies, and a note to oneself."""


def placeholders_in(text: str) -> tuple[str, ...]:
    """What is filled into words: the names that stand in them; all there are where anything else is in brackets.

    >>> placeholders_in("Call {{ shop.phone }} by {{ recheck_date }}, or {{ shop.phone }}.")
    ('shop.phone', 'recheck_date')
    """
    if MARKS.search(PLACEHOLDER.sub("", text)):
        return PLACEHOLDERS
    found = set(PLACEHOLDER.findall(text))
    return tuple(name for name in PLACEHOLDERS if name in found)


class Own(Struct, frozen=True):
    """What a shop brings of its own: texts by the name of the template they replace, and files of answers."""

    texts: tuple[tuple[str, str], ...] = ()
    answers: tuple[Path, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    @property
    def has_parts(self) -> bool:
        """True where the shop's own HTML is on the page: what goes wrong in it is not a bug of ours."""
        return any(name.startswith(f"{PARTS}/") for name, _ in self.texts)


def read_own(shop_folder: Path) -> Own:
    """What lies in words/, parts/ and faq/ beside the orders. Raises OrderError with every fault of all files."""
    faults: list[Fault] = []
    doubts: list[Doubt] = []
    texts: list[tuple[str, str]] = []
    for folder, ending in REPLACING:
        for path in _files(shop_folder, folder, ending, faults):
            try:
                text, doubted = _replacement(path, folder)
            except OrderError as error:
                faults += error.faults
                continue
            texts.append((f"{folder}/{path.name}", text))
            doubts += doubted
    answers = tuple(_files(shop_folder, ANSWERS, ".md", faults))
    if faults:
        raise OrderError(faults)
    return Own(tuple(texts), answers, tuple(doubts))


def goes_wrong_in_parts() -> tuple[type[Exception], ...]:
    """What a mistake in a part of the shop's own can raise. Without such parts, these are bugs of ours."""
    from jinja2 import TemplateError  # noqa: PLC0415  slow to import, and only a page that is filled needs it

    return TemplateError, TypeError, ValueError, LookupError, AttributeError


def refuse_reaching(html: str) -> None:
    """Look at a page made with parts of the shop's own, however they came to their elements. Raises ValueError."""
    body = html.partition("<body>")[2]
    if found := REACHING.search(body):
        raise ValueError(f"<{found[1].lower()}> stands in them. {NOT_IN_PARTS}")


def part_fails(shop_folder: Path, error: Exception) -> Fault:
    """A page that cannot be filled with the shop's own parts."""
    allowed = "A part of your own is called as ours of the same name is, with the same things in it."
    advice = f"Compare it with ours; without {PARTS}/ the pages are built with ours."
    message = f"a page cannot be filled with these parts: {error}"
    return Fault((shop_folder / PARTS).as_posix(), 0, "", message, "", allowed, advice)


def _files(shop_folder: Path, name: str, ending: str, faults: list[Fault]) -> Iterator[Path]:
    """Files of one folder that may be read; one that leads out of the shop's folder, or is of no use, is a fault."""
    folder = shop_folder / name
    if not folder.is_dir():
        return
    for path in sorted(folder.iterdir()):
        if NOT_OURS.fullmatch(path.name) or (path.is_dir() and f"{name}/{path.name}" in WORDS_OF):
            continue
        remark = _unreadable(path, name, shop_folder, ending)
        if remark is None:
            yield path
        else:
            faults.append(Fault(as_text(path).as_posix(), 0, "", remark.message, "", remark.allowed, remark.advice))


def _unreadable(path: Path, folder: str, shop_folder: Path, ending: str) -> Remark | None:
    allowed = f"In {folder}/ lie files that end in {ending}, each inside the folder of your orders."
    if not is_text(path.name):
        return Remark("this file name is not text", allowed, "Rename it: letters, digits and signs (UTF-8).")
    if not path.resolve().is_relative_to(shop_folder.resolve()):
        return Remark("this leads out of the folder of your orders", allowed, "Put a copy of the file here instead.")
    if not path.is_file() or path.suffix != ending:
        return Remark(f"this is no file that ends in {ending}", allowed, "Rename it, or move it somewhere else.")
    return None


def _replacement(path: Path, folder: str) -> tuple[str, tuple[Doubt, ...]]:
    findings = Findings(path.as_posix())
    allowed = f"A file in {folder}/ takes the place of ours of the same name."
    known = _ours(folder)
    if path.name not in known:
        near = nearest(path.stem, [Path(name).stem for name in known])
        advice = f"Perhaps you meant:   {near}{path.suffix}" if near else f"Ours are: {', '.join(sorted(known))}"
        findings.stop(0, Remark(f"there is no {folder}/{path.name} of ours to replace", allowed, advice))
    text = read_text(path, findings, (allowed, "Write its text, or take the file away."))
    if folder.startswith(WORDS):
        _doubt_words(text, findings)
    else:
        _doubt_part(text, path.name, findings)
    findings.raise_if_faulty()
    return text, findings.doubts


@cache
def _ours(folder: str) -> frozenset[str]:
    ours = WORDS if folder in WORDS_OF else folder
    return frozenset(path.name for path in (templates_folder() / ours).iterdir() if path.is_file())


def _doubt_words(text: str, findings: Findings) -> None:
    allowed = f"These are filled in: {', '.join(f'{{{{ {name} }}}}' for name in PLACEHOLDERS)}."
    without = COMMENT.sub(lambda found: "\n" * found.group().count("\n"), text)
    for at, line in enumerate(without.split("\n"), start=1):
        for name in PLACEHOLDER.findall(line):
            if name not in PLACEHOLDERS:
                near = nearest(name, PLACEHOLDERS)
                advice = f"Perhaps you meant:   {{{{ {near} }}}}" if near else "Check the spelling, or take it out."
                findings.fault("", at, Remark(f"{{{{ {name} }}}} is nothing that can be filled in", allowed, advice))
        if MARKS.search(PLACEHOLDER.sub("", line)):
            advice = "Take the curly brackets out, or write one of these."
            findings.fault("", at, Remark("curly brackets stand here that fill nothing in", allowed, advice))
        for remark in left_out(line):
            findings.doubt("", at, remark)


def _doubt_part(text: str, name: str, findings: Findings) -> None:
    for at, line in enumerate(text.split("\n"), start=1):
        for odd in REACHING.findall(line):
            advice = "Take it out; headings, words, lists, tables and drawings are free."
            findings.fault("", at, Remark(f"<{odd.lower()}> cannot stand in a part", NOT_IN_PARTS, advice))
    from jinja2 import TemplateSyntaxError  # noqa: PLC0415  as above
    from jinja2.sandbox import ImmutableSandboxedEnvironment  # noqa: PLC0415

    try:
        ImmutableSandboxedEnvironment().parse(text)
    except TemplateSyntaxError as error:
        allowed = "A part is HTML with the marks of the template language, as ours of the same name."
        findings.stop(error.lineno, Remark(f"this cannot be read: {error.message}", allowed, "Compare it with ours."))
    ours = (templates_folder() / PARTS / name).read_text(encoding="utf-8")
    for macro in MACRO.findall(ours):
        if macro not in MACRO.findall(text):
            allowed = f"Ours defines: {', '.join(MACRO.findall(ours))}. Other files call each of them."
            findings.fault("", 0, Remark(f"the macro {macro} is missing", allowed, "Copy it from ours and change it."))
