"""From cold: how long a command takes in a new process, beside a Python that does nothing."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.bench.processes import explain, in_turn, run
from tests.bench.shop import lay_out_shop

NOTHING = "python -c pass"


def measure(folder: Path, rounds: int) -> dict[str, float]:
    """Median seconds of each command, in turn; the console script only where it is installed."""
    (order,) = lay_out_shop(folder / "orders", 1)
    commands = {
        NOTHING: [sys.executable, "-c", "pass"],
        "python -m explain --help": explain("--help"),
        "explain check ORDER": explain("check", order),
        "explain build ORDER": explain("build", "--anew", order),
    }
    script = Path(sys.executable).with_name("explain")
    if script.exists():
        commands["explain --help"] = [str(script), "--help"]
    for command in commands.values():
        run(command, folder)  # once, so that compiled code is there
    return in_turn(commands, folder, rounds)
