"""What a check found, as JSON for another program: faults, warnings, and the materials where nothing is made yet."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from msgspec.structs import asdict

from explain.site.results import Result
from explain.story.advice import advice_figures


def check_json(results: Iterable[Result]) -> str:
    """Write what became of each order as a JSON list, in the order they were read."""
    return json.dumps([order_figures(result) for result in results], indent=1, ensure_ascii=False)


def order_figures(result: Result) -> dict[str, Any]:
    """What became of one order: its file and number, faults, warnings, and the materials compared."""
    return {
        "file": str(result.path),
        "order": result.number or None,
        "faults": [asdict(fault) for fault in result.faults],
        "warnings": [asdict(doubt) for doubt in result.doubts],
        "comparison": advice_figures(result.advice) if result.advice else None,
    }
