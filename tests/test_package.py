"""The package as somebody else installs it: facts and templates travel in the wheel, and the command works alone."""

from __future__ import annotations

import itertools
import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

from tests.conftest import REPOSITORY, customer_pages, demo_orders

LOCKS = {"requirements.txt", "requirements-build.txt", "requirements-dev.txt", "requirements-tracing.txt"}


def run(*command: str | Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command in a folder, out of reach of this checkout."""
    away = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
    arguments = [str(part) for part in command]
    return subprocess.run(arguments, cwd=folder, env=away, capture_output=True, text=True, check=False)


def succeed(*command: str | Path, folder: Path) -> None:
    finished = run(*command, folder=folder)
    assert finished.returncode == 0, finished.stdout + finished.stderr


@dataclass(frozen=True, slots=True)
class Installed:
    """A fresh environment with the wheel in it, and a folder of one shop with one order."""

    python: Path
    command: Path
    shop: Path
    order: Path


@pytest.fixture(scope="session")
def wheel(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    options = ("--no-deps", "--no-build-isolation", "--no-index", "--wheel-dir", folder)
    succeed(sys.executable, "-m", "pip", "wheel", *options, REPOSITORY, folder=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="session")
def installed(wheel, tmp_path_factory) -> Installed:
    folder = tmp_path_factory.mktemp("installed")
    succeed(sys.executable, "-m", "venv", folder / "venv", folder=folder)
    python = folder / "venv" / "bin" / "python"
    install = (python, "-m", "pip", "install", "--quiet", "--no-compile", "--no-deps")
    succeed(*install, "--require-hashes", "--requirement", REPOSITORY / "requirements.txt", folder=folder)
    succeed(*install, "--no-index", wheel, folder=folder)
    shop = folder / "shop"
    shop.mkdir()
    for source in (demo_orders()[0], REPOSITORY / "orders" / "shop.yaml"):
        shutil.copy(source, shop)
    return Installed(python, python.with_name("explain"), shop, shop / demo_orders()[0].name)


def files_below(folder: str) -> set[str]:
    found = (path for path in (REPOSITORY / folder).rglob("*") if path.is_file() and path.suffix != ".pyc")
    return {path.relative_to(REPOSITORY).as_posix() for path in found}


def required_names(requirements: list[str | dict[str, str]]) -> set[str]:
    return {re.split(r"[^A-Za-z0-9-]", entry)[0].lower() for entry in requirements if isinstance(entry, str)}


def locked_versions(lock: str) -> dict[str, set[str]]:
    """The versions a lock pins for each package; two where Pythons differ."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([a-z0-9-]+)==(\S+)", (REPOSITORY / lock).read_text("utf-8"), re.MULTILINE):
        found.setdefault(name, set()).add(version)
    return found


def test_the_wheel_holds_every_module_fact_and_template(wheel):
    templates = {f"explain/{name}" for name in files_below("templates")}

    names = set(zipfile.ZipFile(wheel).namelist())

    assert templates, "no templates to carry"
    assert (files_below("explain") | templates) - names == set()


def test_the_wheel_holds_no_orders_and_no_tests(wheel):
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}

    assert {top for top in tops if not top.endswith(".dist-info")} == {"explain"}


def test_the_installed_command_writes_a_page_that_names_the_customer(installed, tmp_path):
    customer = yaml.safe_load(installed.order.read_text(encoding="utf-8"))["for"]

    finished = run(installed.command, "build", installed.order, "--out", tmp_path / "out", folder=tmp_path)

    assert finished.returncode == 0, finished.stdout + finished.stderr
    (page,) = customer_pages(tmp_path / "out")
    assert customer in page.read_text(encoding="utf-8")


def test_the_installed_module_runs_as_the_command_does(installed, tmp_path):
    finished = run(installed.python, "-m", "explain", "--help", folder=tmp_path)

    assert finished.returncode == 0, finished.stderr
    assert "build" in finished.stdout


def test_the_installed_package_is_not_this_checkout(installed, tmp_path):
    finished = run(installed.python, "-c", "import explain; print(explain.__file__)", folder=tmp_path)

    assert Path(finished.stdout.strip()).is_relative_to(installed.python.parent.parent)


def test_every_dependency_is_locked():
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"]

    assert required_names(project["project"]["dependencies"]) <= locked_versions("requirements.txt").keys()
    assert required_names(groups["build"]) <= locked_versions("requirements-build.txt").keys()
    assert required_names(groups["dev"]) <= locked_versions("requirements-dev.txt").keys()
    assert required_names(groups["tracing"]) <= locked_versions("requirements-tracing.txt").keys()


@pytest.mark.parametrize("lock", sorted(LOCKS))
def test_a_lock_pins_every_package_by_hash_and_names_no_server(lock):
    text = (REPOSITORY / lock).read_text(encoding="utf-8")
    pins = re.findall(r"^[a-z0-9-]+==[^\n]*\\\n    --hash=sha256:", text, re.MULTILINE)
    entries = [line for line in text.splitlines() if line and line[0] not in " #"]

    assert len(pins) == len(entries) > 0
    assert "://" not in text


@pytest.mark.parametrize(("first", "second"), list(itertools.combinations(sorted(LOCKS), 2)))
def test_two_locks_agree_on_what_both_pin(first, second):
    one, other = locked_versions(first), locked_versions(second)
    shared = one.keys() & other.keys()

    assert {name: one[name] for name in shared} == {name: other[name] for name in shared}
