"""How the project is laid out: which way imports point, what optics may touch, how long a module is, what is where."""

from __future__ import annotations

import ast
import contextlib
import fnmatch
import io
import re
from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

REPOSITORY = Path(__file__).resolve().parent.parent
LONGEST_MODULE = 400
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "Makefile", "pyproject.toml"),
    *("explain", "templates", "orders", "tests", "site_out", ".ci"),
    *("requirements.txt", "requirements-build.txt", "requirements-dev.txt", "requirements-tracing.txt"),
    *(".gitignore", ".gitattributes", ".editorconfig", ".pre-commit-config.yaml"),
}
REQUIRED = TOP_LEVEL - {".gitattributes", ".pre-commit-config.yaml"}
NOT_ARITHMETIC = {
    *("datetime", "time", "zoneinfo", "calendar"),
    *("io", "os", "pathlib", "shutil", "tempfile", "subprocess", "socket", "urllib", "random", "secrets"),
}
READS_A_FILE = {"open", "input", "exec", "eval", "read_text", "read_bytes", "loadtxt", "genfromtxt", "fromfile", "load"}

# A tilde in each, taken out before use: this file must not hold what it looks for.
FOREIGN_SPELLED_APART = {
    "a package registry's host": [r"py~pi\.org", r"files\.python~hosted", r"registry\.npm~js", r"deb\.deb~ian\.org"],
    "a folder of somebody's machine": ["/wo~rk/", "/fa~rm/", r"/ro~ot/\.", r"/ho~me/\w", r"/Use~rs/\w"],
    "a word about something other than the product": [
        r"\btran~script\b",
        r"\bseed docu~ment\b",
        r"\bthe vid~eo\b",
        r"\bthis sess~ion\b",
        r"\bcoding ag~ent\b",
        r"\blanguage mo~del\b",
    ],
    "a promise instead of code": [r"# ?TO~DO", r"\bNotImplemented~Error", r"\bassert Tr~ue\b"],
}
FOREIGN = {kind: [part.replace("~", "") for part in parts] for kind, parts in FOREIGN_SPELLED_APART.items()}


def ignored_patterns() -> list[str]:
    lines = (REPOSITORY / ".gitignore").read_text(encoding="utf-8").splitlines()
    return [line.rstrip("/") for line in lines if line and not line.startswith(("#", "!", "site_out"))]


def is_ignored(name: str) -> bool:
    return name == ".git" or any(fnmatch.fnmatch(name, pattern) for pattern in ignored_patterns())


def top_level_names() -> set[str]:
    return {path.name for path in REPOSITORY.iterdir() if not is_ignored(path.name)}


def python_files(*folders: str) -> list[Path]:
    files = sorted(path for folder in folders for path in (REPOSITORY / folder).rglob("*.py"))
    assert files, f"no Python files below {folders}"
    return files


def project_files() -> list[Path]:
    """Every file that belongs to the project, built pages and locks excepted."""
    tops = sorted(REPOSITORY / name for name in top_level_names() - {"site_out"})
    files = [path for top in tops for path in (top.rglob("*") if top.is_dir() else [top]) if path.is_file()]
    inside = [path for path in files if not any(is_ignored(part) for part in path.relative_to(REPOSITORY).parts)]
    return [path for path in inside if not path.name.startswith("requirements")]


def relative(path: Path) -> str:
    return path.relative_to(REPOSITORY).as_posix()


def not_arithmetic(source: str) -> list[str]:
    """What a module does that is not arithmetic: imports of files, clocks or chance, and calls that read something."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Import(names=names):
                found += [f"import {name.name}" for name in names if name.name.split(".")[0] in NOT_ARITHMETIC]
            case ast.ImportFrom(module=str(module)) if module.split(".")[0] in NOT_ARITHMETIC:
                found.append(f"from {module} import")
            case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)) if name in READS_A_FILE:
                found.append(f"{name}()")
    return found


def foreign_matter(text: str, patterns: list[str]) -> list[str]:
    expression = re.compile("|".join(patterns), re.IGNORECASE)
    lines = enumerate(text.splitlines(), 1)
    return [f"{number}: {line.strip()}" for number, line in lines if expression.search(line)]


def test_imports_point_one_way(monkeypatch):
    monkeypatch.chdir(REPOSITORY)
    report = io.StringIO()

    with contextlib.redirect_stdout(report):
        status = lint_imports(config_filename="pyproject.toml", no_cache=True)

    assert status == EXIT_STATUS_SUCCESS, report.getvalue()


@pytest.mark.parametrize("path", python_files("explain/optics"), ids=relative)
def test_optics_opens_no_file_and_reads_no_clock(path):
    assert not_arithmetic(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    ["import time", "import os.path", "from pathlib import Path", "open('x')", "Path('x').read_text()", "np.load('x')"],
)
def test_the_search_for_files_and_clocks_finds_them(source):
    assert len(not_arithmetic(source)) == 1


@pytest.mark.parametrize("path", python_files("explain", "tests"), ids=relative)
def test_no_module_is_longer_than_one_idea(path):
    lines = path.read_text(encoding="utf-8").count("\n")

    assert lines <= LONGEST_MODULE, f"{relative(path)} has {lines} lines: the second idea gets a file"


def test_the_top_level_holds_only_the_fixed_names():
    assert top_level_names() - TOP_LEVEL == set()


def test_the_top_level_lacks_none_of_the_fixed_names():
    assert REQUIRED - top_level_names() == set()


@pytest.mark.parametrize("kind", FOREIGN)
def test_the_project_speaks_of_the_product_alone(kind):
    texts = {relative(path): path.read_bytes().decode("utf-8", errors="replace") for path in project_files()}
    found = [f"{name}:{line}" for name, text in texts.items() for line in foreign_matter(text, FOREIGN[kind])]

    assert found == [], f"{kind} in the project"


@pytest.mark.parametrize(("kind", "pattern"), [(kind, pattern) for kind in FOREIGN for pattern in FOREIGN[kind]])
def test_the_search_for_foreign_matter_finds_it(kind, pattern):
    plain = re.sub(r"\\b|\?", "", pattern).replace(r"\.", ".").replace(r"\w", "x")

    assert foreign_matter(f"before {plain} after", FOREIGN[kind]) == [f"1: before {plain} after"]


def test_every_text_file_ends_its_lines_plainly():
    endings = {".py", ".md", ".html", ".css", ".yaml", ".toml"}
    texts = {relative(path): path.read_bytes() for path in project_files() if path.suffix in endings}

    assert [name for name, text in texts.items() if b"\r" in text or (text and text[-1:] != b"\n")] == []
