"""README and DEVELOPERS say what the code does: commands, keys, the order they show, files and functions they name."""

from __future__ import annotations

import importlib
import re
import shlex
import shutil

import pytest
import yaml
from bs4 import BeautifulSoup

from explain.cli import main, parser
from explain.commands.options import FEW
from explain.facts import data_file
from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from tests.conftest import REPOSITORY, customer_pages, demo_orders

README = (REPOSITORY / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8")
SHOP_FILE = (REPOSITORY / "orders" / "shop.yaml").read_text(encoding="utf-8")
MAKEFILE = (REPOSITORY / "Makefile").read_text(encoding="utf-8")

FOLDERS = (".", "explain", "templates", "orders", "tests", "explain/data")
MADE_BY_A_BUILD = {
    ".venv",
    "site_out/upload",
    "_headers",
    "index.html",
    "site_out/private",
    "site_out/upload/answers",
    "answers",
    "ORDER/numbers.json",
    "site_out/private/ORDER/taken-down",
    "retired.json",
    "private",
    "numbers.json",
    "site_out/private/index.html",
    "ORDER/bench.html",
    "ORDER/card.html",
    "ORDER/card-4x6.html",
    "reminders.ics",
    "desk.json",
    "address.secret",
}
ENDINGS = (".py", ".md", ".yaml", ".html", ".css", ".toml", ".txt", ".png", ".js", ".json", ".ics")


def in_backticks(text):
    return re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))


def blocks(text, language=""):
    """The code blocks of one language; "" for those that name none."""
    fenced = re.findall(r"^```(\w*)\n(.*?)^```$", text, flags=re.DOTALL | re.MULTILINE)
    return [block for named, block in fenced if named == language]


def commands():
    (choices,) = (action.choices for action in parser()._actions if action.choices)
    return dict(choices)


def options(command):
    return {name for action in commands()[command]._actions for name in action.option_strings if name.startswith("--")}


def paths_named(text):
    """What looks like a file or a folder, with the places left for a name turned into a star."""
    names = {re.sub(r"\b[A-Z]+(?=[./]|$)", "*", word).rstrip("/") for word in in_backticks(text) if is_path(word)}
    return sorted(names - {re.sub(r"\b[A-Z]+(?=[./]|$)", "*", name) for name in MADE_BY_A_BUILD})


def is_path(word):
    return re.fullmatch(r"[\w.*/-]+", word) is not None and ("/" in word.strip("/") or word.endswith(("/", *ENDINGS)))


def dotted_names(text):
    return sorted(
        {word for word in in_backticks(text) if re.fullmatch(r"[a-z_]+(\.[a-z_]+)+", word) and not is_path(word)}
    )


@pytest.mark.parametrize("command", commands())
def test_every_command_is_explained_in_the_readme_with_its_options(command):
    (line,) = re.findall(rf"^- `explain {command}\b([^`]*)` \w+", README, re.MULTILINE)

    assert [name for name in options(command) - {"--help"} if name not in line] == []


def test_every_command_of_the_readme_exists():
    named = {words.split()[1] for words in in_backticks(README) + README.splitlines() if words.startswith("explain ")}

    assert named == set(commands())


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_everything_that_is_said_to_be_made_can_be_made(text):
    named = set(re.findall(r"^make ([a-z-]+)|`make ([a-z-]+)`", text, re.MULTILINE))
    targets = set(re.findall(r"^([a-z-]+):", MAKEFILE, re.MULTILINE))

    assert named
    assert {first or second for first, second in named} <= targets


@pytest.mark.parametrize("path", [key.path for key in ORDER_KEYS.keys if not key.path.endswith("prism.base")])
def test_every_key_of_an_order_is_explained_in_the_readme(path):
    name = path.rpartition(".")[2].removesuffix("[]")
    words = " ".join(in_backticks(README))

    assert re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", words)


@pytest.mark.parametrize("key", [key.path for key in SHOP_KEYS.keys if "." not in key.path])
def test_every_key_of_the_shop_file_stands_in_the_demo_shop(key):
    assert key in yaml.safe_load(SHOP_FILE)


@pytest.mark.parametrize("group", ["designs", "outlines", "uses", "wearers"])
def test_every_word_an_order_may_use_stands_in_the_readme(group):
    table = "\n".join(line for line in README.splitlines() if line.startswith("|"))
    assert [word for word in data_file("keys")["words"][group] if word not in table] == []


def test_the_order_in_the_readme_becomes_a_page(tmp_path, monkeypatch, capsys):
    (order,) = blocks(README, "yaml")
    (tmp_path / "orders").mkdir()
    shutil.copy(REPOSITORY / "orders" / "shop.yaml", tmp_path / "orders")
    (tmp_path / "orders" / "QH-2102.yaml").write_text(order, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    (command,) = (block.split() for block in blocks(README) if block.startswith("explain "))

    status = main(command[1:])

    assert (status, capsys.readouterr().err) == (0, "")
    (page,) = customer_pages(tmp_path / "site_out")
    assert "Tobias" in BeautifulSoup(page.read_bytes(), "html5lib").h1.get_text()


def test_the_comparison_in_the_readme_is_what_a_check_of_its_order_prints(tmp_path, monkeypatch, capsys):
    (order,) = blocks(README, "yaml")
    (tmp_path / "orders").mkdir()
    shutil.copy(REPOSITORY / "orders" / "shop.yaml", tmp_path / "orders")
    (tmp_path / "orders" / "QH-2102.yaml").write_text(order, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    (shown,) = (block for block in blocks(README) if "Thickest  Thinnest" in block)

    status = main(["check", "orders/QH-2102.yaml"])

    assert status == 0
    assert capsys.readouterr().out.strip() == shown.strip()


def test_the_limits_of_the_advice_in_the_readme_are_those_of_the_code():
    words = " ".join(README.split())
    facts = data_file("advice")

    assert f"else {facts['largest_blank_mm']['use']} mm" in words
    assert f"more than {facts['far_from_middle_mm']['use']:g} mm from the middle" in words
    assert f"With more than {FEW} orders" in words


@pytest.mark.parametrize("example", blocks(README, "console"), ids=lambda block: block.splitlines()[0][2:40])
def test_the_examples_of_the_readme_print_what_it_shows(example, tmp_path, monkeypatch, capsys):
    shutil.copytree(REPOSITORY / "orders", tmp_path / "orders", ignore=shutil.ignore_patterns("*.secret", "*.png"))
    shutil.copytree(REPOSITORY / "tests" / "data", tmp_path / "received")
    shutil.copy(REPOSITORY / "tests" / "draft" / "orders.csv", tmp_path / "received")
    monkeypatch.chdir(tmp_path)
    command, _, shown = example.partition("\n")

    status = main(shlex.split(command)[2:])

    assert (status, capsys.readouterr().out) == (0, shown)


def test_the_readme_starts_with_what_it_is_for_and_shows_order_command_and_result_at_once():
    first = README.splitlines()[:40]

    assert any("```yaml" in line for line in first)
    assert any(line == "explain build" for line in first)
    assert any(line.startswith("![") for line in first)


@pytest.mark.parametrize("picture", re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README + DEVELOPERS))
def test_every_picture_is_there(picture):
    assert (REPOSITORY / picture).is_file()


def test_every_link_leads_to_a_file_that_is_there():
    links = re.findall(r"(?<!!)\[[^\]]+\]\(([^)#]+)\)", README + DEVELOPERS)

    assert [link for link in links if "://" not in link and not (REPOSITORY / link).exists()] == []


@pytest.mark.parametrize("name", paths_named(README))
def test_every_file_or_folder_the_readme_names_is_there(name):
    assert any(found for folder in FOLDERS for found in (REPOSITORY / folder).glob(name)), name


@pytest.mark.parametrize("name", paths_named(DEVELOPERS))
def test_every_file_or_folder_developers_names_is_there(name):
    assert any(found for folder in FOLDERS for found in (REPOSITORY / folder).glob(name)), name


@pytest.mark.parametrize("name", dotted_names(DEVELOPERS))
def test_every_function_developers_names_is_there(name):
    module, _, attribute = f"explain.{name}".rpartition(".")

    assert hasattr(importlib.import_module(module), attribute)


@pytest.mark.parametrize("folder", sorted(path.name for path in (REPOSITORY / "explain").iterdir() if path.is_dir()))
def test_every_folder_of_the_package_is_explained_in_developers(folder):
    assert folder == "__pycache__" or f"| `explain/{folder}/` |" in DEVELOPERS


def test_the_names_of_quantities_in_developers_are_used_in_the_code():
    table = DEVELOPERS.split("## Names")[1].split("## ")[0]
    names = [word.lstrip(".") for line in table.splitlines() if line.startswith("|") for word in in_backticks(line)]
    code = "\n".join(path.read_text(encoding="utf-8") for path in (REPOSITORY / "explain").rglob("*.py"))

    assert len(names) > 15
    assert [name for name in names if name not in code] == []


def test_the_counts_in_words_are_those_of_the_project():
    assert len(demo_orders()) == 10
    assert "ten demo orders" in README
    assert "ten orders" in DEVELOPERS


def test_the_checks_on_names_can_fail():
    assert paths_named("`explain/nowhere.py` and `tests/` and `words/NAME.md` and `just words` and `a.b.c`") == [
        "explain/nowhere.py",
        "tests",
        "words/*.md",
    ]
    assert dotted_names("`site.render.render` but `x`") == ["site.render.render"]
