"""The customer's prose: short, plain, in US English, with a source, and as much said against a choice as for it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from jinja2 import Environment, StrictUndefined

from explain.facts import data_file, option
from explain.optics.reflection import two_surface_transmittance
from explain.order.keys import ADD_ONS, DESIGNS, MATERIALS
from tests.story.readability import TERMS, paragraphs_of, reading, sentences_of, syllables, words_of

WORDS = Path(__file__).resolve().parents[2] / "templates" / "words"
FILES = sorted(WORDS.glob("*.md"))
ANSWERS = [file.read_text(encoding="utf-8").split("---\n", 2)[1] for file in WORDS.parent.glob("faq/[!A-Z]*.md")]
FACTS = data_file("words_sources")["facts"]
OPTIONS = {key: entry for group in data_file("options").values() for key, entry in group.items()}

# Values as long as real ones, so that a sentence is measured as a customer meets it.
FILLED = {
    "shop": {
        "name": "Larch Street Opticians",
        "optician": "Marta Lind",
        "phone": "802-555-0142",
        "hours": "Monday to Friday, 9 am to 5 pm",
    },
    "for": "Odile",
    "recheck_date": "October 23, 2026",
}
ALLOWED = {"shop.name", "shop.optician", "shop.phone", "shop.hours", "for", "recheck_date"}

NEEDED = [
    *("not-right", "not-right-child", "not-right-plano"),
    *(f"prescription-{part}" for part in ("sphere-minus", "sphere-plus", "cylinder", "add", "prism", "pd")),
    *("light-reactive", "sits-right", "sits-right-child", "adjusting"),
    *("care", "care-layers", "care-screws", "call-us", "ask-your-prescriber", "see-someone-today"),
    *("injury-child-one-eye", "keep-this", "message", "privacy", "what-we-cannot-know", "sunglasses"),
    *("keep-this-plano", "what-we-cannot-know-plano"),
    *("prism", "uneven-eyes", "balance", "one-lens"),
]

BANNED = [
    *("simply", "just", "obviously", "of course", "don't worry", "best", "premium", "upgrade", "essential"),
    *("recommended for everyone", "clinically proven", "ametropia", "adaptation", "dispensed", "non-tolerance"),
    *("anti-reflective coating", "peripheral", "within tolerance", "intermediate", "contact your"),
    *("od", "os", "ou", "amazing", "perfect", "superior", "luxury", "ultimate", "guarantee", "unbeatable", "value"),
    *("danger", "dangerous", "blindness", "go blind", "warning", "severe", "fault is yours", "your fault"),
    *("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "percent"),
]
BRITISH = re.compile(
    r"\b(\w*colour\w*|cent(?:re|red|res)|grey|diopt(?:re|res)|met(?:re|res)|lit(?:re|res)|fibre|favour\w*|behaviour"
    r"|spectacles?|windscreens?|polaris\w*|organis\w*|recognis\w*|kerbs?|tyres?|whilst|aluminium|matt|chemist)\b",
    re.IGNORECASE,
)

URGENT = {
    "ur-01": ["suddenly lose all or part of your sight"],
    "ur-02": ["new flashes of light", "new or many dark specks"],
    "ur-03": ["curtain or shadow"],
    "ur-04": ["eye pain", "a red eye with pain, blur or light that hurts"],
    "ur-05": ["suddenly see double, and it stays"],
    "ur-06": ["eye was hurt", "has something in it", "splashed with a chemical"],
    "ur-07": ["suddenly see halos or rainbows"],
    "ur-08": ["lines suddenly look bent", "sight to the side", "pupil suddenly changes size", "colors suddenly change"],
    "ur-09": ["new glasses cannot cure", "the same day"],
}

HAND_COUNTED = {
    "glasses": 2, "lenses": 2, "little": 2, "sides": 1, "tested": 2, "turned": 1, "diopter": 3, "layer": 2,
    "careful": 2, "progressive": 3, "prescription": 3, "ultraviolet": 5, "light-reactive": 4, "measure": 2,
    "wearing": 2, "eyes": 1,
    "people": 2, "blurred": 1, "noticed": 2, "changes": 2, "steps": 1, "curious": 3, "PD": 2, "cm": 4,
    "7": 2, "16": 2, "40": 2, "77": 5, "0.25": 5, "2026": 5, "606": 4, "3/8": 2, "555-0142": 8,
}  # fmt: skip


def filled(file: Path) -> str:
    """A text as a customer would see it, comment and all."""
    environment = Environment(undefined=StrictUndefined, autoescape=False)  # noqa: S701  Markdown, not HTML
    return environment.from_string(file.read_text(encoding="utf-8")).render(FILLED)


def said(file: Path) -> str:
    """What a text says to the customer: no comment, no placeholder."""
    return re.sub(r"<!--.*?-->|\{\{.*?\}\}", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)


def option_texts(key: str) -> list[str]:
    """Everything the page says about one choice, as the options file has it."""
    entry = OPTIONS[key]
    return [entry["what"], *entry["for"], *entry["against"], entry["not_worth"], entry["evidence"]]


def named_sources(entries: list[str]) -> list[str]:
    """The keys among sources; free text must say that it rests on practice or memory."""
    free = ("common practice, no source: ", "from memory: ")
    return [entry for entry in entries if not entry.startswith(free)]


def sources_of(file: Path) -> list[str]:
    """What the comment at the end of a text names."""
    match = re.search(r"\n<!-- sources: (.+) -->\n\Z", file.read_text(encoding="utf-8"))
    assert match, f"{file.name} does not end with its sources"
    parts = match[1].split("; ")
    return parts if parts[0].startswith(("common practice", "from memory")) else [*parts[0].split(", "), *parts[1:]]


def sources_in(node: object) -> list[str]:
    """Every source that a file of facts names, however deep."""
    if isinstance(node, dict):
        named = [key for name, keys in node.items() if name.endswith("sources") for key in keys]
        return named + [source for child in node.values() for source in sources_in(child)]
    return []


def banned_in(text: str) -> list[str]:
    low = text.lower().replace("’", "'")
    return [word for word in BANNED if re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", low)]


each_file = pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
each_option = pytest.mark.parametrize("key", OPTIONS)
each_text = pytest.mark.parametrize(
    "text",
    [pytest.param(said(file), id=file.stem) for file in FILES]
    + [pytest.param("\n\n".join([OPTIONS[key]["name"], *option_texts(key)]), id=key) for key in OPTIONS],
)


def test_the_counter_knows_hand_counted_words() -> None:
    assert {word: syllables(word) for word in HAND_COUNTED} == HAND_COUNTED


def test_the_grade_of_a_sentence_worked_by_hand() -> None:
    # 8 words, 9 syllables, 1 sentence: 0.39 * 8 + 11.8 * 9 / 8 - 15.59 = 0.805
    measured = reading(["Look down at each step before you go."])
    assert (measured.sentences, measured.words, measured.syllables) == (1, 8, 9)
    assert measured.grade == pytest.approx(0.805)


def test_prose_leaves_out_headings_labels_and_comments() -> None:
    text = "### Heading\n\nOne here. Then more.\n\n- **Label.** An item.\n2. Next 0.25 item\n\n<!-- sources: x -->\n"
    assert paragraphs_of(text) == ["One here. Then more.", "An item.", "Next 0.25 item"]
    assert sentences_of("One here (it is). Then 6.4 more.") == ["One here (it is).", "Then 6.4 more."]


def test_every_text_the_page_can_ask_for_is_there() -> None:
    assert sorted(file.stem for file in FILES) == sorted(NEEDED)


@each_file
def test_sentences_and_paragraphs_are_short(file: Path) -> None:
    paragraphs = paragraphs_of(filled(file))
    long = [sentence for text in paragraphs for sentence in sentences_of(text) if len(words_of(sentence)) > 20]
    assert not long
    assert [text for text in paragraphs if len(sentences_of(text)) > 3] == []
    measured = reading(paragraphs)
    assert measured.words / measured.sentences <= 14


@each_file
def test_reading_grade(file: Path) -> None:
    paragraphs = paragraphs_of(filled(file))
    assert reading(paragraphs).grade <= 8.5
    assert reading(paragraphs, terms=TERMS).grade <= 7


@each_option
def test_options_are_short_and_plain(key: str) -> None:
    texts = [text for text in option_texts(key) if text]
    sentences = [sentence for text in texts for sentence in sentences_of(text)]
    assert [sentence for sentence in sentences if len(words_of(sentence)) > 20] == []
    assert reading(texts).grade <= 8.5
    assert reading(texts, terms=TERMS).grade <= 7


@each_text
def test_no_word_that_sells_frightens_or_puzzles(text: str) -> None:
    assert banned_in(text) == []


@each_text
def test_us_spelling_and_plain_signs(text: str) -> None:
    assert BRITISH.findall(text) == []
    assert "!" not in text
    assert re.findall(r"--|[–—]", text) == []
    assert re.findall(r"(?<![\w)])-\d", text) == [], "a minus sign is −, not a hyphen"


def test_the_checks_on_words_can_fail() -> None:
    assert banned_in("It is simply the best, in two ways.") == ["simply", "best", "two"]
    assert BRITISH.findall("Grey at the centre") == ["Grey", "centre"]


@each_file
def test_only_known_placeholders(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert set(re.findall(r"\{\{ (.+?) \}\}", text)) <= ALLOWED
    assert text.count("{") == 2 * len(re.findall(r"\{\{ .+? \}\}", text))


@each_file
def test_sub_headings_are_of_one_rank_and_lists_are_short(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert re.findall(r"^(?:#{1,2}|#{4,}) ", text, flags=re.MULTILINE) == []
    lists = re.findall(r"(?:^(?:- |\d+\. ).+\n)+", text, flags=re.MULTILINE)
    assert all(block.count("\n") <= 7 for block in lists)


@each_file
def test_every_text_names_its_sources(file: Path) -> None:
    assert [key for key in named_sources(sources_of(file)) if key not in FACTS] == []


@each_option
def test_every_option_names_its_sources(key: str) -> None:
    sources = OPTIONS[key]["sources"]
    assert sources
    assert [source for source in named_sources(sources) if source not in FACTS] == []


def test_every_fact_has_a_source_and_is_used() -> None:
    known = {*data_file("sources"), *data_file("words_sources")["more"], "materials.yaml"}
    for key, entry in FACTS.items():
        assert entry["fact"].endswith("."), key
        assert entry["status"] in {"read", "from-memory"}, key
        assert entry["source"], key
        assert set(entry["source"]) <= known, key
    used = {source for file in FILES for source in sources_of(file)}
    used |= {source for entry in OPTIONS.values() for source in entry["sources"]}
    used |= {source for answer in ANSWERS for source in yaml.safe_load(answer)["sources"]}
    used |= set(sources_in(data_file("getting_used")))
    assert set(FACTS) - used == set()
    assert set(data_file("words_sources")["more"]) <= {name for entry in FACTS.values() for name in entry["source"]}


def test_every_choice_of_an_order_has_its_words() -> None:
    groups = {group: tuple(entries) for group, entries in data_file("options").items()}
    assert groups == {"designs": DESIGNS, "materials": MATERIALS, "add-ons": ADD_ONS}


@each_option
def test_as_much_against_as_for(key: str) -> None:
    words = option(key)
    assert len(words.reasons_for) == len(words.reasons_against) >= 2
    fewer, more = sorted(len(words_of(" ".join(side))) for side in (words.reasons_for, words.reasons_against))
    assert more <= 1.2 * fewer
    assert re.match(r"(It|They) would not be worth it if ", words.not_worth)
    assert len(sentences_of(words.what)) == 1


@each_option
def test_a_claim_about_studies_gives_its_year(key: str) -> None:
    for sentence in option_texts(key):
        if re.search(r"\b(trials?|study|tests|laboratory work)\b", sentence) and "no " not in sentence:
            assert re.search(r"\b(19|20)\d\d\b", sentence + OPTIONS[key]["evidence"]), sentence


@pytest.mark.parametrize("key", MATERIALS)
def test_figures_of_a_material_are_those_of_the_materials_file(key: str) -> None:
    text = " ".join(option_texts(key))
    facts = data_file("materials")["materials"][key]
    own = re.search(r"\(Abbe\) is (?:about )?(\d+)", text)
    assert own is None or abs(int(own[1]) - facts["abbe_number"]["use"]) <= 1
    weight = re.search(r"weighs ([\d.]+) g per cubic cm", text)
    assert weight is None or float(weight[1]) == facts["density_g_per_cm3"]["use"]
    shine = re.search(r"reflects about (\d+) in 100", text)
    index = facts["index_at_587_6_nm"]["use"]
    assert shine is None or int(shine[1]) == round(100 * (1 - two_surface_transmittance(index)))
    assert own or weight, "a material gives at least its color number or its weight"


@pytest.mark.parametrize("sign", URGENT)
def test_every_urgent_sign_is_named(sign: str) -> None:
    text = (WORDS / "see-someone-today.md").read_text(encoding="utf-8")
    assert sign in FACTS
    assert [phrase for phrase in URGENT[sign] if phrase not in text.lower()] == []


def test_all_urgent_facts_are_checked() -> None:
    assert {key for key in FACTS if key.startswith("ur-")} == set(URGENT)


@pytest.mark.parametrize("name", ["not-right", "not-right-child", "not-right-plano"])
def test_a_pair_that_is_not_right_has_a_date_a_number_and_no_blame(name: str) -> None:
    text = (WORDS / f"{name}.md").read_text(encoding="utf-8")
    assert "{{ recheck_date }}" in text
    assert "{{ shop.phone }}" in text
    assert "our job, not yours" in text
