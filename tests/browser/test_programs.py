"""A program that is missing is never passed over in silence."""

from __future__ import annotations

import pytest

from tests.browser import programs


def test_a_missing_program_fails_its_tests_and_says_how_to_get_it():
    with pytest.raises(pytest.fail.Exception, match=r"no-such-browser is missing.*apt-get install some-package"):
        programs.program("no-such-browser", "some-package")


def test_a_program_that_a_run_is_to_do_without_skips_its_tests_and_says_so(monkeypatch):
    monkeypatch.setattr(programs, "WITHOUT", ["sh"])

    with pytest.raises(pytest.skip.Exception, match="EXPLAIN_WITHOUT names sh"):
        programs.program("sh", "dash")


def test_a_program_that_is_there_is_found():
    assert programs.program("sh", "dash").endswith("/sh")
