"""A pasted letter or e-mail as plain lines: headers, HTML, quoted replies, phone numbers and dates taken away."""

from __future__ import annotations

import email
import email.policy
import re
from email.message import EmailMessage
from html.parser import HTMLParser

from explain.draft.taken import DraftError
from explain.order import limits

LONGEST_LINE = limits.LETTER_LINE
MOST_LETTERS = limits.LETTER_LETTERS

HIDDEN = re.compile("[\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f]")
FIGURE = re.compile("[0-9]")
EMPTY_LINES = re.compile(r"\n{4,}+")
GAP = 8 * " "
LONG_GAP = re.compile(r"[^\S\n]{9,}+")
"""More blanks than part two columns say nothing more, and patterns that look for blanks would take long over them."""
HEADERS = re.compile(r"\A(?:[A-Za-z][A-Za-z-]{1,40}:[^\n]*\n(?:[ \t]+[^\n]*\n)*){2,}\n")
IS_MIME = re.compile(r"^(?:content-type|mime-version|content-transfer-encoding):", re.IGNORECASE | re.MULTILINE)
IS_HTML = re.compile(r"<(?:html|body|div|p|br|table|tr|td|span)\b[^>]*>", re.IGNORECASE)
BREAKS = {"br", "p", "div", "tr", "table", "li", "h1", "h2", "h3", "h4"}

MONTH = (
    r"(?:jan|feb|f\u00e9v|mar|m\u00e4r|apr|avr|may|mai|jun|juin|jul|juil|aug|ao\u00fb|sep|oct|okt|nov|dec|dez|d\u00e9c|ene|abr|ago|dic)"
    r"[a-z\u00e9\u00fb\u00e4]*\.?"
)
COURTESY = (
    r"\b(?:(?:kind|best|warm|many) (?:regards|wishes|thanks)|regards|thanks|thank you|cheers|sincerely|yours|please"
    r"|bitte|danke|merci|gracias|cordialement|mfg)\b[^\d+]*$"
)
NO_FIGURE_BEFORE = r"(?<![\w.,+\-/])"
NOISE = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        COURTESY,
        r"\b(?:https?://|www\.)\S+",
        r"[\w.+-]+@[\w-]+\.[\w.-]+",
        rf"{NO_FIGURE_BEFORE}(?:19|20)\d\d-\d\d-\d\d(?:T\S+)?",
        rf"{NO_FIGURE_BEFORE}(?:19|20)\d\d([./])\d\d?\1\d\d?(?![\d])",
        rf"{NO_FIGURE_BEFORE}\d\d?([./-])\d\d?\1(?:(?:19|20)\d\d|\d\d)(?![\d.,/-])",
        (
            rf"(?<!x ){NO_FIGURE_BEFORE}\d\d?(?:st|nd|rd|th|\.|er)?(?: of| de)? "
            rf"{MONTH}(?:,?(?: de)? (?:19|20)\d\d)?(?![\w])"
        ),
        rf"\b{MONTH} \d\d?(?:st|nd|rd|th)?(?:,? (?:19|20)\d\d)?(?![\w.,])",
        r"\b(?:[01]?\d|2[0-3])[:h][0-5]\d(?::[0-5]\d)?(?: ?[ap]\.?m\.?)?(?![\d.])",
        (
            r"(?:\btel(?:ephone|efon|\u00e9fono)?|\bt[\u00e9\u00e8]l(?:\u00e9phone)?|\bphone|\bfax|\bmob(?:ile|il)?|\bcell"
            r"|\bcall(?: us)?(?: on| at)?"
            r"|\bring|\bhandy|\bwhatsapp|\u260e|\U0001f4de)[\s.:]*(?:no\.?|number)?[\s.:]*[+(]?\d[\d ()/.\-]{4,}"
        ),
        r"\+\d{1,3}(?: ?\(\d{1,5}\)|[ -]\d{1,5})(?:[ -]\d{2,5}){1,5}(?![\d.])",
        rf"{NO_FIGURE_BEFORE}\(?0\d{{2,4}}\)?[ -/]?\d{{3,4}}[ -]?\d{{3,4}}(?![\d.])",
        rf"{NO_FIGURE_BEFORE}(?:\(?\d{{3}}\)?[ -])?\d{{3}}[ -]\d{{4}}(?![\d.])",
        (
            r"(?<![\w.,+\-/])(?<!x )(?:va|visus|v)?\s*[:=]?\s*"
            r"\(?(?:6/(?:4|5|6|7\.5|9|12|18|24|36|60)|20/\d{2,3})(?![\d.])(?:[+-]\d(?![\d.]))?\)?"
        ),
        r"\b(?:va|visus|vcc|vsc)\b\s*[:=]?\s*[01][.,]\d+|\bn(?:4\.5|[4568]|1[0-9]|36|48)\b(?![\d.,])",
        r"[$\u20ac\u00a3]\s?\d[\d.,]*",
        rf"{NO_FIGURE_BEFORE}\d[\d.,]*\s?(?:\u20ac|eur|euros?|usd|gbp|chf)(?![a-z])",
        (
            r"\b(?:order|ref(?:erence)?|invoice|account|customer|patient|policy|licen[cs]e|reg(?:istration)?|goc|npi|nhs|vat"
            r"|dob|born|age[d]?|aged|kunden|rechnung|bestell)\b[\s.:#-]*(?:no\.?|nr\.?|number|nummer|id|of)?[\s.:#-]*"
            r"[a-z]{0,4}[-#]?\d[\w-]*(?![.,]\d)"
        ),
    )
)


class LetterError(DraftError):
    """Far too much text for a prescription; the words say how much, and what to do."""


def letter_of(text: str) -> str:
    r"""The words of a text that may be a whole e-mail: its plain part, without headers.

    >>> letter_of("Subject: my glasses\nFrom: somebody\n\nR -2.00 DS")
    'R -2.00 DS'
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").lstrip("\ufeff")
    headers = HEADERS.match(text)
    if headers and IS_MIME.search(headers.group()):
        text = _mime_body(text)
    elif headers:
        text = text[headers.end() :]
    return _without_tags(text) if IS_HTML.search(text) else text


def lines_of(text: str) -> list[str]:
    """The lines of a letter that were written by the sender, without what is no prescription.

    Lines quoted from an earlier letter (>) are used only where nothing else names a number. Of a line that is too long
    only words are left out, never a figure. Raises LetterError for far too much text.
    """
    lines = [LONG_GAP.sub(GAP, HIDDEN.sub("", line)) for line in EMPTY_LINES.sub("\n\n\n", text).split("\n")]
    _refuse_long(lines)
    lines = [line[:LONGEST_LINE] for line in lines]
    fresh = [line for line in lines if not line.lstrip().startswith(">")]
    chosen = fresh if any(_has_power(line) for line in fresh) else [line.lstrip("> ") for line in lines]
    return [without_noise(line) for line in chosen]


def _refuse_long(lines: list[str]) -> None:
    letters = sum(len(line) + 1 for line in lines)
    if letters > MOST_LETTERS:
        raise LetterError(
            f"The text has {letters} letters.\nAt most {MOST_LETTERS} are read: a prescription is a few lines.\n"
            "Copy the lines with the prescription, and leave the rest out."
        )
    for line in lines:
        if FIGURE.search(line, LONGEST_LINE):
            raise LetterError(
                f"A line of the text has {len(line)} letters, and figures near its end.\n"
                f"At most {LONGEST_LINE} letters of a line are read.\nBreak the line, or leave out what is not needed."
            )


def without_noise(line: str) -> str:
    """A line without addresses, dates, times, phone numbers, sums of money and order numbers.

    >>> without_noise("R -2.00 DS, call 555 0134 before 03/12/2026")
    'R -2.00 DS,  before  '
    """
    for pattern in NOISE:
        line = pattern.sub(" ", line)
    return line


def _has_power(line: str) -> bool:
    return re.search(r"[+\-\u2212\u2013]\s*\d|plan|\bpl\b|bal", without_noise(line), re.IGNORECASE) is not None


def _mime_body(text: str) -> str:
    data = text.encode("utf-8", errors="replace")
    message = email.message_from_bytes(data, _class=EmailMessage, policy=email.policy.default)
    try:
        body = message.get_body(("plain", "html"))
        content = body.get_content() if body else ""
    except (LookupError, ValueError, KeyError, AttributeError, TypeError, IndexError, RecursionError):
        return text
    return content.replace("\r\n", "\n") if isinstance(content, str) and content.strip() else text


def _without_tags(text: str) -> str:
    parser = _Words()
    parser.feed(text)
    parser.close()
    return "".join(parser.words)


class _Words(HTMLParser):
    """Gathers the words of a web page; table cells are kept apart by a bar, rows and paragraphs by a new line."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self._unseen = 0

    def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002  the library's own form
        """Note a new line, a new cell, or the start of something that is not shown."""
        self._unseen += tag in ("style", "script", "head")
        if tag in ("td", "th"):
            self.words.append(" | ")
        elif tag in BREAKS:
            self.words.append("\n")

    def handle_endtag(self, tag: str) -> None:
        """Note the end of a paragraph, or of something that is not shown."""
        self._unseen -= tag in ("style", "script", "head") and self._unseen > 0
        if tag in BREAKS:
            self.words.append("\n")

    def handle_data(self, data: str) -> None:
        """Keep what is shown."""
        if not self._unseen:
            self.words.append(data.replace("\n", " "))
