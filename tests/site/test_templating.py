"""Templating: ours are filled as they are; whatever a shop brings of its own stands in the sandbox."""

from __future__ import annotations

import pytest
from jinja2 import UndefinedError
from jinja2.sandbox import ImmutableSandboxedEnvironment, SecurityError

from explain.site.templating import environment, page_environment

WORDS = (("words/care.md", "Rinse them.\n"),)
REACHING = ["groups.__class__.__mro__", "groups[0].__init__.__globals__", "lipsum.__globals__", "''.__class__"]


def part(inside):
    return (("parts/contents.html", f"{{% macro contents(groups) %}}{inside}{{% endmacro %}}\n"),)


def filled(own, groups):
    caller = '{% from "parts/contents.html" import contents %}{{ contents(groups) }}'
    return page_environment(own).from_string(caller).render(groups=groups)


def test_our_own_templates_are_filled_without_a_sandbox():
    assert not isinstance(environment(), ImmutableSandboxedEnvironment)
    assert page_environment(()) is environment()


@pytest.mark.parametrize("own", [WORDS, part("x"), WORDS + part("x")])
def test_what_a_shop_brings_is_filled_in_the_sandbox(own):
    assert isinstance(environment(own), ImmutableSandboxedEnvironment)


def test_a_page_with_a_part_of_the_shops_stands_in_the_sandbox_and_one_without_does_not():
    assert isinstance(page_environment(WORDS + part("x")), ImmutableSandboxedEnvironment)
    assert page_environment(WORDS) is environment()


@pytest.mark.parametrize("inside", REACHING)
def test_a_part_of_the_shop_reaches_nothing_behind_the_page(inside):
    with pytest.raises((SecurityError, UndefinedError)):
        filled(part(f"{{{{ {inside} }}}}"), ["a"])


def test_a_part_of_the_shop_changes_nothing_of_the_page():
    groups = ["a"]

    with pytest.raises(SecurityError):
        filled(part("{{ groups.append('b') }}"), groups)
    assert groups == ["a"]
