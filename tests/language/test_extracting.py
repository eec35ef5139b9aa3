"""Nothing that is said hides from the tool that gathers sentences: it does not look inside f-strings or into keys."""

from __future__ import annotations

import ast

import pytest

from tests.conftest import REPOSITORY

SAYS = {"_", "plural", "in_context", "later"}
MODULES = sorted((REPOSITORY / "explain").rglob("*.py"))


def says(node):
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SAYS


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(REPOSITORY).as_posix())
def test_no_sentence_is_said_inside_an_f_string(module):
    tree = ast.parse(module.read_text(encoding="utf-8"))
    inside = [node for outer in ast.walk(tree) if isinstance(outer, ast.JoinedStr) for node in ast.walk(outer)]

    assert [node.lineno for node in inside if says(node) and isinstance(node.args[0], ast.Constant)] == []


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(REPOSITORY).as_posix())
def test_what_is_said_is_a_sentence_or_a_name_and_holds_no_text_that_is_a_key(module):
    calls = [node for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))) if says(node)]
    mixed = [
        call.lineno
        for call in calls
        if call.args
        and not isinstance(call.args[0], ast.Constant)
        and any(isinstance(node, ast.Constant) and isinstance(node.value, str) for node in ast.walk(call.args[0]))
    ]

    assert mixed == []
