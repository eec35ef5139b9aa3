"""The parts of a page, each with its examples in PART.yaml: usual, long and empty, rendered and held to valid HTML."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import html5lib
import pytest
import yaml
from bs4 import BeautifulSoup
from markupsafe import Markup
from msgspec.structs import replace

from explain.charts import draw
from explain.order import read_shop
from explain.site.places import templates_folder
from explain.site.sketches import inline_sketch
from explain.site.templating import environment
from explain.story.answers import AnswerLink
from explain.story.blocks import Block, PicturedStep, Section, Sketch, Stage
from explain.story.bought import FirstScreen, Step
from explain.story.page import Group
from tests.charts import samples
from tests.conftest import REPOSITORY

HERE = Path(__file__).resolve().parent
PARTS = sorted(path.stem for path in (templates_folder() / "parts").glob("*.html"))
KINDS = {kind.kind: kind for kind in get_args(Block)}
KINDS |= {
    "pictured-step": PicturedStep,
    "sketch": Sketch,
    "stage": Stage,
    "section": Section,
    "group": Group,
    "first": FirstScreen,
    "step": Step,
    "answer": AnswerLink,
}
DRAWINGS = samples.DRAWINGS | {"section with nasty words": samples.nasty_drawings()["section"]}
INSIDE_ITS_PART = {"folded", "whole_table", "drawings"}


def examples_of(part):
    return yaml.safe_load((HERE / f"{part}.yaml").read_text(encoding="utf-8"))


EXAMPLES = [
    pytest.param(part, example, id=f"{part}-{example['macro']}-{example['id']}")
    for part in (path.stem for path in sorted(HERE.glob("*.yaml")))
    for example in examples_of(part)
]


def made(thing):
    """What an example describes: a block for a mapping with a kind, a tuple for a list."""
    if isinstance(thing, list):
        return tuple(made(part) for part in thing)
    if not isinstance(thing, dict):
        return thing
    values = {key: made(value) for key, value in thing.items() if key != "kind"}
    if thing["kind"] == "shop":
        return replace(read_shop(REPOSITORY / "orders" / "shop.yaml"), **values)
    if "drawing" in values:
        values["drawing"] = DRAWINGS[values["drawing"]]
    return KINDS[thing["kind"]](**values)


def rendered(part, example):
    """The part of an example alone in a page."""
    macro = example["macro"]
    caller = f'{{% from "parts/{part}.html" import {macro} with context %}}{{{{ {macro}(*blocks) }}}}'
    body = (
        environment()
        .from_string(caller)
        .render(
            blocks=made(example["blocks"]),
            picture=lambda figure: Markup(draw(figure.drawing, "f1")),  # noqa: S704  our own drawing
            sketch=lambda one: inline_sketch(one, "s1"),
            prose=lambda block: Markup('<p class="prose-{}">words</p>').format(block.name),
        )
    )
    return f'<!DOCTYPE html><html lang="en"><head><title>x</title></head><body>{body}</body></html>'


def macros_of(part):
    text = (templates_folder() / "parts" / f"{part}.html").read_text(encoding="utf-8")
    return set(re.findall(r"{% macro (\w+)\(", text)) - INSIDE_ITS_PART


@pytest.mark.parametrize(("part", "example"), EXAMPLES)
def test_an_example_is_valid_html_and_holds_what_it_should(part, example):
    text = rendered(part, example)

    html5lib.HTMLParser(strict=True).parse(text)
    body = BeautifulSoup(text, "html5lib").body
    assert {selector: len(body.select(selector)) for selector in example["holds"]} == example["holds"]


def test_every_part_has_examples_and_every_example_a_part():
    assert sorted(path.stem for path in HERE.glob("*.yaml")) == PARTS


@pytest.mark.parametrize("part", PARTS)
def test_every_macro_of_a_part_has_a_usual_a_long_and_an_empty_example(part):
    shown = {}
    for example in examples_of(part):
        shown.setdefault(example["macro"], set()).add(example["id"])

    assert set(shown) == macros_of(part)
    assert [macro for macro, ids in shown.items() if not ids >= {"usual", "long", "empty"}] == []


def test_the_section_shows_every_kind_of_block():
    usual = next(example for example in examples_of("section") if example["id"] == "usual")

    assert {block["kind"] for block in usual["blocks"][0]["blocks"]} == {kind.kind for kind in get_args(Block)}


@pytest.mark.parametrize("part", PARTS)
def test_a_part_is_short_and_says_what_it_is(part):
    text = (templates_folder() / "parts" / f"{part}.html").read_text(encoding="utf-8")

    assert text.startswith("{# ")
    assert text.count("\n") <= 60


@pytest.mark.parametrize("part", PARTS)
def test_a_part_places_things_and_does_not_reckon(part):
    text = (templates_folder() / "parts" / f"{part}.html").read_text(encoding="utf-8")

    assert re.findall(r"\|\s*(?:round|sum|safe|int|float|format)\b|{%-?\s*set\b", text) == []
    assert re.findall(r"{{[^}]*\s[-+*/%~]\s[^}]*}}", text) == []


def test_all_templates_escape_what_they_are_given():
    assert environment().autoescape is True
    assert environment().from_string("{{ x }}").render(x="<b>") == "&lt;b&gt;"
