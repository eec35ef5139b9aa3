"""Windows, as far as it can be tried elsewhere: calls it lacks, files held open, its ways of writing text and paths."""

from __future__ import annotations

import ast
import io
import re
from pathlib import Path, PosixPath

import pytest

from explain.cli import main
from explain.commands.door import shell_word
from explain.draft.sources import SourceError, source_of
from explain.order import OrderError, read_order, read_shop
from explain.site import patience
from explain.site.publish import write_whole
from tests.conftest import REPOSITORY
from tests.story.invented import write_order, write_shop

SOURCES = sorted((REPOSITORY / "explain").rglob("*.py"))
LACKING_MODULES = {"fcntl", "resource", "pwd", "grp", "termios", "tty", "pty", "posix", "syslog", "readline"}
LACKING_NAMES = {
    "os": {"fork", "forkpty", "getuid", "geteuid", "getgid", "setuid", "chown", "lchown", "mkfifo", "mknod", "nice",
           "killpg", "setsid", "getpgid", "sync", "sched_getaffinity", "sched_setaffinity", "statvfs", "wait", "wait4",
           "WIFEXITED", "O_NOFOLLOW", "O_DIRECTORY", "O_CLOEXEC", "O_NONBLOCK", "O_SYNC", "symlink", "openpty",
           "uname", "fchmod", "fchown", "posix_fadvise", "sendfile", "pread", "pwrite", "getloadavg", "sysconf"},
    "signal": {"SIGKILL", "SIGHUP", "SIGALRM", "SIGUSR1", "SIGUSR2", "SIGCHLD", "SIGPIPE", "SIGQUIT", "alarm", "pause",
               "setitimer", "pthread_sigmask", "sigwait"},
    "time": {"tzset", "clock_settime"},
}  # fmt: skip
"""What the library reference marks as not available on Windows, or as in need of rights there."""
LACKING_METHODS = {"symlink_to", "hardlink_to", "chown", "is_mount"}
BRANCH = re.compile(r"os\.name|sys\.platform|hasattr\(|get_all_start_methods|\bways\b")
TEXT_CALLS = {"read_text", "write_text", "open", "TextIOWrapper", "NamedTemporaryFile", "fdopen"}


def lacking(code: str) -> list[str]:
    """Calls that Windows lacks and that no branch guards; one at the head of a function guards the rest of it."""
    tree = ast.parse(code)
    above = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    return [f"{name} in line {node.lineno}" for node, name in _named(tree) if not _is_guarded(node, above)]


def _named(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node, name.name) for name in node.names if name.name in LACKING_MODULES)
        elif isinstance(node, ast.ImportFrom) and node.module in LACKING_MODULES:
            yield node, node.module
        elif isinstance(node, ast.Attribute):
            of = node.value.id if isinstance(node.value, ast.Name) else ""
            if node.attr in LACKING_NAMES.get(of, ()) or node.attr in LACKING_METHODS:
                yield node, node.attr
        elif _opens_a_folder(node):
            yield node, "os.open of a folder"


def _opens_a_folder(node):
    """os.open without a flag that writes: what is opened so is read, as a folder is for fsync."""
    is_open = isinstance(node, ast.Call) and ast.unparse(node.func) == "os.open"
    return is_open and not re.search(r"O_WRONLY|O_RDWR|O_CREAT|AT_ONCE", ast.unparse(node))


def _is_guarded(node, above):
    while node in above:
        parent = above[node]
        if isinstance(parent, ast.If | ast.IfExp) and BRANCH.search(ast.unparse(parent.test)):
            return True
        if isinstance(parent, ast.FunctionDef):
            earlier = parent.body[: parent.body.index(node)] if node in parent.body else []
            if any(isinstance(one, ast.If) and BRANCH.search(ast.unparse(one.test)) for one in earlier):
                return True
        node = parent
    return False


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("import fcntl", ["fcntl in line 1"]),
        ("import os\nos.fork()", ["fork in line 2"]),
        ("path.symlink_to(x)", ["symlink_to in line 1"]),
        ("def f(x):\n  d = os.open(x, os.O_RDONLY)", ["os.open of a folder in line 2"]),
        ("def f(x):\n  if os.name == 'nt':\n    return\n  d = os.open(x, os.O_RDONLY)", []),
        ("n = len(os.sched_getaffinity(0)) if hasattr(os, 'sched_getaffinity') else 1", []),
        ("if x:\n  os.sched_getaffinity(0)", ["sched_getaffinity in line 2"]),
        ("os.open(os.devnull, os.O_WRONLY)", []),
    ],
)
def test_the_search_finds_what_it_should(code, found):
    assert lacking(code) == found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(REPOSITORY).as_posix())
def test_no_call_that_windows_lacks_stands_outside_a_branch(path):
    assert lacking(path.read_text(encoding="utf-8")) == []


def without_encoding(code: str) -> list[int]:
    """Lines that open a text file in whatever encoding the system happens to have."""
    return [node.lineno for node in ast.walk(ast.parse(code)) if isinstance(node, ast.Call) and _reads_text(node)]


def _reads_text(call):
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    if name not in TEXT_CALLS or ast.unparse(call.func) in ("os.open", "webbrowser.open"):
        return False
    modes = [one.value for one in (*call.args, *(key.value for key in call.keywords if key.arg == "mode"))
             if isinstance(one, ast.Constant) and isinstance(one.value, str)]  # fmt: skip
    is_binary = any("b" in mode and len(mode) <= 3 for mode in modes)
    return not is_binary and not any(key.arg == "encoding" for key in call.keywords)


def test_a_text_file_is_never_opened_in_the_encoding_of_the_system():
    assert without_encoding('p.read_text()\np.open("rb")\nopen(p)\np.write_text(t, encoding="utf-8")') == [1, 3]
    found = []
    for path in SOURCES:
        code = path.read_text(encoding="utf-8")
        own = {node.name for node in ast.walk(ast.parse(code)) if isinstance(node, ast.FunctionDef)}
        imported = re.findall(r"^from explain\S+ import .*\bread_text\b", code, re.MULTILINE)
        if "read_text" in own or imported:
            code = re.sub(r"(?<![.\w])read_text\(", "ours(", code)
        found += [f"{path.relative_to(REPOSITORY)}:{line}" for line in without_encoding(code)]
    assert found == []


class HeldOpen:
    """A file that another program holds open for so many tries."""

    def __init__(self, tries, real):
        self.left, self.real = tries, real

    def __call__(self, *arguments, **options):
        self.left -= 1
        if self.left >= 0:
            raise PermissionError(13, "The process cannot access the file because it is being used by another process")
        return self.real(*arguments, **options)


def hold_open(monkeypatch, method, tries, system):
    held = HeldOpen(tries, getattr(Path, method))
    monkeypatch.setattr(Path, method, lambda *arguments, **options: held(*arguments, **options))  # noqa: PLW0108  bound
    monkeypatch.setattr(patience, "PAUSE_S", 0.0)
    monkeypatch.setattr(patience.os, "name", system)
    return held


@pytest.mark.parametrize("method", ["replace", "unlink"])
def test_a_file_that_is_held_open_for_a_moment_is_waited_for_on_windows(tmp_path, monkeypatch, method):
    page = tmp_path / "page.html"
    page.write_text("old", encoding="utf-8")
    held = hold_open(monkeypatch, method, 5, "nt")

    write_whole(page, "new")
    monkeypatch.undo()

    assert page.read_text(encoding="utf-8") == "new"
    assert held.left < 0
    assert [path.name for path in tmp_path.iterdir()] == ["page.html"]


@pytest.mark.parametrize(("system", "tries"), [("nt", 20), ("posix", 1)])
def test_a_file_that_stays_held_open_is_an_error_and_the_old_one_stays(tmp_path, monkeypatch, system, tries):
    page = tmp_path / "page.html"
    page.write_text("old", encoding="utf-8")
    held = hold_open(monkeypatch, "replace", 99, system)

    with pytest.raises(PermissionError):
        write_whole(page, "new")
    monkeypatch.undo()

    assert (page.read_text(encoding="utf-8"), 99 - held.left) == ("old", tries)


@pytest.fixture
def shop(tmp_path, monkeypatch):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "as_saved",
    [
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: "\ufeff".encode() + text.replace("\n", "\r\n").encode(),
        lambda text: text.replace("\n", "\r").encode(),
        lambda text: text.encode() + b"\r\n",
    ],
    ids=["CRLF", "BOM and CRLF", "CR", "CRLF at the end"],
)
def test_an_order_saved_by_a_windows_editor_reads_the_same(shop, as_saved):
    path, lines = shop / "orders" / "T-0001.yaml", read_shop(shop / "orders" / "shop.yaml")
    before = read_order(path, lines)
    path.write_bytes(as_saved(path.read_text(encoding="utf-8")))

    after = read_order(path, lines)

    assert after.order == before.order
    assert after.findings.line_of("prescription.right") == before.findings.line_of("prescription.right")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_an_order_saved_as_utf_16_is_refused_in_words(shop, encoding):
    path = shop / "orders" / "T-0001.yaml"
    path.write_bytes(path.read_text(encoding="utf-8").encode(encoding))

    with pytest.raises(OrderError, match=r"UTF-16(.|\n)*save it again, with UTF-8"):
        read_order(path, read_shop(shop / "orders" / "shop.yaml"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("text", ["OD −2,00 −0,50 x 90\r\nOS –1.75\r\n", "Rechts: sph -2,00\r\nFür Jörg"])
def test_what_is_piped_in_is_read_in_whatever_encoding_the_shell_sends(text, encoding):
    if encoding == "cp1252":
        text = text.replace("−", "-")

    assert source_of("-", io.BytesIO(text.encode(encoding))).text.lstrip("\ufeff") == text


@pytest.mark.parametrize("name", [r"C:\letters\jane.txt", r"C:\My letters\jane.txt", r"..\x.json", "my letter.txt"])
def test_a_missing_file_named_as_on_windows_is_no_prescription(name):
    with pytest.raises(SourceError, match="there is no such file"):
        source_of(name, io.BytesIO())


@pytest.mark.parametrize("words", ["OD -2.00, OS -1.00 d.o.b. 1.1.80", "R -1.00 L -1.00 from Dr. Who, M.D."])
def test_words_with_points_in_them_are_no_file(words):
    assert source_of(words, io.BytesIO()).text == words


def test_paths_are_shown_in_one_way_on_every_system(shop, monkeypatch, capsys):
    """Where a path is put into a sentence without as_posix(), Windows would show backslashes in that one place."""
    monkeypatch.setattr(PosixPath, "__format__", lambda path, _: str(path).replace("/", "\\"), raising=False)
    for words in (
        "check", "build", "build", "build --anew --verbose --out other", "links", "retire T-0001 --on 2027-01-01",
        "retire T-0001", "retire T-0001 --undo", "retire T-0009", "retire T-0001 --out other", "schema",
        "schema --out nowhere", "links orders/none.yaml", "check orders/none.yaml", "build other", "draft R-1",
        "draft none.txt", "draft --again orders/T-0009.yaml", "check --report orders", "watch other --no-browser",
        "build --out other/upload", "begin shop --name a --optician b --phone (555)010-0142 --address c",
        "begin shop --name a --optician b --phone (555)010-0142 --address c", "begin new",
    ):  # fmt: skip
        main(words.split())
    (shop / "orders" / "extra.yml").write_text("", encoding="utf-8")
    (shop / "orders" / "address.secret").write_text("", encoding="utf-8")
    main(["check"])
    main(["links"])
    (shop / "site_out" / "private" / "T-0001" / "retired.json").write_text("", encoding="utf-8")
    main(["check"])
    said = "".join(capsys.readouterr())

    assert "orders/" in said
    assert [line for line in said.splitlines() if "\\" in line] == []


def test_a_path_to_type_stands_in_quotation_marks_where_every_shell_needs_them():
    assert [shell_word(Path(text)) for text in ("orders/A-1.yaml", "my shop", "Müller", "a&b")] == [
        "orders/A-1.yaml",
        '"my shop"',
        "Müller",
        '"a&b"',
    ]
