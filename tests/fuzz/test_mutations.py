"""Four hundred spoilt demo orders: each is built by the laws of optics or refused in words, quickly."""

from __future__ import annotations

from tests.fuzz.mutate import SEED, run


def test_spoilt_orders_are_built_by_the_laws_or_refused_in_words(tmp_path):
    done, wrong = run(400, SEED, tmp_path)

    assert not wrong, "\n".join(wrong)
    assert done["built"] > 50
    assert done["refused"] > 50
