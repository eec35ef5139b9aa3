"""Report: what became of many orders, for a script as JSON, and by kind of message for a person."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from explain.order.faults import Fault, Finding
from explain.site.check_json import order_figures
from explain.site.results import AnswersDone, Result

QUOTED = re.compile(r'"[^"]*"')
FIGURE = re.compile(r"[+\-−]?\d+(?:[.,:/]\d+)*")


class Kind(Struct, frozen=True):
    """Findings that say the same thing of different orders, in the order they were found."""

    message: str
    findings: tuple[Finding, ...]

    @property
    def is_fault(self) -> bool:
        """True where the orders were not built; False for warnings."""
        return isinstance(self.findings[0], Fault)

    @property
    def files(self) -> tuple[str, ...]:
        """The files concerned, each once."""
        return tuple(dict.fromkeys(finding.file for finding in self.findings))


def kind_of(finding: Finding) -> str:
    """What a finding says, without the figures and words that differ from order to order.

    >>> kind_of(Fault("a.yaml", 3, "", 'the right eye has an axis of 495; "x" is not read', "", "", ""))
    'the right eye has an axis of N; "..." is not read'
    """
    return FIGURE.sub("N", QUOTED.sub('"..."', finding.message))


def kinds(results: Iterable[Result]) -> list[Kind]:
    """All findings by kind: faults before warnings, and the most frequent first."""
    found: dict[tuple[bool, str], list[Finding]] = {}
    for result in results:
        for finding in (*result.faults, *result.doubts):
            found.setdefault((isinstance(finding, Fault), kind_of(finding)), []).append(finding)
    grouped = [Kind(message, tuple(findings)) for (_, message), findings in found.items()]
    return sorted(grouped, key=lambda kind: (not kind.is_fault, -len(kind.files)))


def report_text(command: str, results: Sequence[Result], answers: Sequence[AnswersDone]) -> str:
    """Write what a command found as JSON: counts, kinds, and each order in the order it was read."""
    faulty = sum(bool(result.faults) for result in results)
    report = {
        "command": command,
        "orders_read": len(results),
        "orders_with_faults": faulty,
        "pages_written": sum(result.page is not None for result in results),
        "kinds": [_kind(kind) for kind in kinds(results)],
        "orders": [_order(result) for result in results],
        "answers": {
            "faults": [asdict(fault) for done in answers for fault in done.read.faults],
            "warnings": [asdict(doubt) for done in answers for doubt in done.read.doubts],
        },
    }
    return json.dumps(report, indent=1, ensure_ascii=False) + "\n"


def _kind(kind: Kind) -> dict[str, Any]:
    return {"message": kind.message, "is_fault": kind.is_fault, "count": len(kind.findings), "files": kind.files}


def _order(result: Result) -> dict[str, Any]:
    away = result.standing.retirement if result.standing.is_away else None
    return order_figures(result) | {
        "page": str(result.page) if result.page else None,
        "put_away_on": away.on.isoformat() if away else None,
        "leads_to": result.standing.led_to or None,
    }
