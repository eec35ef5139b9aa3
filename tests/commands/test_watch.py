"""The command watch, as a process of its own: it builds what changes, in under a second, and stops at Ctrl-C."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import threading
import time
from queue import Empty, Queue

import pytest

from explain.cli import main
from tests.conftest import REPOSITORY, customer_pages
from tests.story.invented import write_order, write_shop

PATIENCE_S = 60


class Watching:
    """A running watch, its lines as they come."""

    def __init__(self, folder):
        command = [sys.executable, "-m", "explain", "watch", "--no-browser"]
        self.process = subprocess.Popen(
            command, cwd=folder, env={"PYTHONPATH": str(REPOSITORY), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        self._lines = Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self):
        for line in self.process.stdout:
            self._lines.put(line)

    def line_with(self, pattern):
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            try:
                found = re.search(pattern, self._lines.get(timeout=1))
            except Empty:
                continue
            if found:
                return found
        raise AssertionError(f"nothing like {pattern} was said")

    def stop(self):
        self.process.send_signal(signal.SIGINT)
        status = self.process.wait(timeout=PATIENCE_S)
        self._reader.join(timeout=5)
        self.process.stdout.close()
        return status


@pytest.fixture
def watching(tmp_path):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders")
    watching = Watching(tmp_path)
    yield watching
    if watching.process.poll() is None:
        watching.process.kill()
        watching.process.wait()
        watching.process.stdout.close()


def test_a_changed_order_is_built_again_quickly_and_ctrl_c_stops_it_cleanly(watching, tmp_path):
    assert watching.line_with(r"Look at http://127\.0\.0\.1:\d+/")

    write_order(tmp_path / "orders", **{"for": "Tobias"})
    seconds = float(watching.line_with(r"T-0001 read and built in ([0-9.]+) s")[1])
    write_order(tmp_path / "orders", prescription={"right": "-4.00 -1.00"})
    assert watching.line_with(r"T-0001\.yaml:\d+: .*axis")

    assert watching.stop() == 0
    assert watching.line_with("Stopped")
    assert seconds < 3  # 0.4 s on a quiet machine; the bound leaves room for one that is not
    (page,) = customer_pages(tmp_path / "site_out")
    assert "Tobias" in page.read_text(encoding="utf-8")
    assert "location.reload" not in page.read_text(encoding="utf-8")


def test_a_folder_without_orders_and_a_port_that_cannot_be_are_told(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["watch"]) == 2
    assert "explain begin my-shop" in capsys.readouterr().err

    (tmp_path / "orders").mkdir()
    assert main(["watch"]) == 2
    assert "explain watch FOLDER" in capsys.readouterr().err
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders")
    assert main(["watch", "--no-browser", "--port", "70000"]) == 2
    assert "Port 70000 cannot be used" in capsys.readouterr().err
