"""Our indented JSON is the text that Python's own writer gives."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from explain.site.indented import indented

LEAVES = st.none() | st.booleans() | st.integers() | st.floats() | st.text()
VALUES = st.recursive(LEAVES, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=30)


@given(VALUES)
def test_any_value_is_written_as_python_writes_it(value):
    assert indented(value) == json.dumps(value, indent=1, ensure_ascii=False)
