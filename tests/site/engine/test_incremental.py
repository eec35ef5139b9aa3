"""Only what changed: after any edit a build gives the bytes that one from nothing gives, and makes no page too many."""

from __future__ import annotations

import json
import random
import subprocess
import sys

import pytest

from explain.site.build import build
from explain.site.engine import kits, sweep
from explain.site.engine.quick import glance
from explain.site.engine.record import ADDED
from explain.site.engine.sweep import RECORD
from tests.conftest import REPOSITORY
from tests.site.engine.sites import ENVIRONMENT, TODAY, age, built, clean, own, shop_with, uploaded
from tests.story.invented import write_order, write_shop

EDITS = 50
TRACES = REPOSITORY / "orders" / "traces"
CONTENTS = (REPOSITORY / "templates" / "parts" / "contents.html").read_text(encoding="utf-8") + "\n"
WITH_MATPLOTLIB = {"cycler", "fonttools", "kiwisolver", "packaging", "pillow", "pyparsing", "python-dateutil", "six"}
"""What matplotlib brings; the fixed halves of charts depend on matplotlib's own version."""
WITHOUT_A_TRACE = {"filelock", "setuptools", "typing-extensions", "cryptography", "cffi", "pycparser", "tzdata", "pytz"}
"""No byte of a page in clear depends on these; ciphertext depends on the standard that they follow."""
LOADED = """
import sys
from importlib import metadata
from explain.cli import main
status = main(["build", "--workers", "1"])
of = metadata.packages_distributions()
loaded = {name for module in list(sys.modules) for name in of.get(module.partition(".")[0], ())}
print("loaded:", *sorted(loaded))
sys.exit(status)
"""


def test_without_a_change_nothing_is_made_and_nothing_is_written(paths, out, made):
    assert built(paths, out, made) == ["T-0001", "T-0002", "T-0003", "T-0004"]
    before = {path: path.stat().st_mtime_ns for path in (out / "upload").rglob("*")}

    assert built(paths, out, made) == []
    assert {path: path.stat().st_mtime_ns for path in (out / "upload").rglob("*")} == before


def test_one_changed_order_makes_one_page(paths, out, made):
    built(paths, out)
    write_order(paths[0].parent, order="T-0003", **{"for": "Odette"})

    assert built(paths, out, made) == ["T-0003"]
    assert "Odette" in (out / "private" / "index.html").read_text(encoding="utf-8")


def test_an_order_that_was_only_touched_is_read_and_left(paths, out, made):
    built(paths, out)
    paths[1].touch()

    assert built(paths, out, made) == []


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: write_shop(folder, hours="Never"),
        lambda folder: own(folder, "words/care.md", "Wash them.\n"),
        lambda folder: own(folder, "words/es/care.md", "Lave.\n"),
        lambda folder: own(folder, "parts/contents.html", CONTENTS),
        lambda folder: own(folder, "address.secret", "6f" * 32 + "\n"),
    ],
    ids=["the shop", "words of its own", "words in another language", "a part of its own", "the secret"],
)
def test_what_all_pages_are_made_from_makes_all_of_them(paths, out, made, change):
    built(paths, out)
    change(paths[0].parent)

    assert len(built(paths, out, made)) == 4


def test_a_template_makes_what_uses_it(paths, out, made, monkeypatch):
    built(paths, out)
    real, said = kits._templates(), []

    def changed(name):
        monkeypatch.setattr(kits, "_templates", lambda: real)
        built(paths, out)
        monkeypatch.setattr(kits, "_templates", lambda: {**real, name: "another"})
        said.clear()
        return len(built(paths, out, made, explain=said.append)), any("answers for everyone" in text for text in said)

    assert changed("desk.html") == (0, False)
    assert changed("faq.html") == changed("faq-base.html") == (0, True)
    assert changed("order.html") == changed("order.css") == (4, False)
    assert changed("base.html") == (4, True)


@pytest.mark.parametrize("what", ["_code", "_libraries"])
def test_another_program_or_library_makes_everything(paths, out, made, monkeypatch, what):
    built(paths, out)
    monkeypatch.setattr(kits, what, lambda: "another")

    assert len(built(paths, out, made)) == 4


def test_another_library_for_packing_pictures_counts(monkeypatch):
    before = kits._libraries_now.__wrapped__()
    monkeypatch.setattr("zlib.ZLIB_RUNTIME_VERSION", "1.3.1.zlib-ng")

    assert kits._libraries_now.__wrapped__() != before


def test_every_library_that_a_build_loads_is_counted_or_known_to_write_nothing(tmp_path):
    shop_with(tmp_path, 2)
    run = subprocess.run(
        [sys.executable, "-c", LOADED], cwd=tmp_path, env=ENVIRONMENT, capture_output=True, text=True, check=True
    )
    (line,) = (line for line in run.stdout.splitlines() if line.startswith("loaded: "))
    loaded = {name.lower().replace("_", "-") for name in line.split()[1:]} - {"order-explainer"}

    assert {"numpy", "matplotlib", "jinja2", "markupsafe"} <= loaded
    assert loaded - {*kits.LIBRARIES, *WITH_MATPLOTLIB, *WITHOUT_A_TRACE} == set()


def test_a_page_that_was_deleted_or_changed_by_hand_is_made_again(paths, out, made):
    first, second, third, _ = (result.page for result in built(paths, out))
    whole = second.read_bytes()
    first.unlink()
    second.write_bytes(whole[:1000])
    (out / "private" / "T-0003" / "numbers.json").unlink()

    assert built(paths, out, made) == ["T-0001", "T-0002", "T-0003"]
    assert first.is_file()
    assert second.read_bytes() == whole
    assert third.is_file()


@pytest.mark.parametrize("text", ["", "not a record", '{"version": 0}\n', '{"version": 1}\n[1, 2]\n'])
def test_a_record_that_cannot_be_read_means_that_everything_is_made(paths, out, made, text):
    built(paths, out)
    (out / "private" / RECORD).write_text(text, encoding="utf-8")

    assert len(built(paths, out, made)) == 4
    assert built(paths, out, made) == []


def test_what_a_stopped_build_had_made_is_not_made_again(paths, out, made):
    stopped = build(paths, out, today=TODAY)
    next(stopped)
    next(stopped)
    stopped.close()
    with (out / "private" / ADDED).open("a", encoding="utf-8") as file:
        file.write('["half a li')

    assert built(paths, out, made) == ["T-0003", "T-0004"]


def test_the_quick_look_sees_every_kind_of_change(paths, out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)  # the program itself may have been written just now
    relative = [path.relative_to(tmp_path) for path in paths]
    built(relative, out.relative_to(tmp_path))
    age(tmp_path / "orders")
    built(relative, out.relative_to(tmp_path))
    changes = [
        lambda: paths[0].write_text(paths[0].read_text(encoding="utf-8") + "\n", encoding="utf-8"),
        lambda: (tmp_path / "orders" / "new.yaml").write_text("order: T-9\n", encoding="utf-8"),
        lambda: (tmp_path / "orders" / "faq").mkdir() or (tmp_path / "orders" / "faq" / "x.md").write_text("x"),
        lambda: next(out.glob("upload/*/index.html")).write_text("x", encoding="utf-8"),
        lambda: next(out.glob("private/T-*/card.html")).unlink(),
    ]
    assert glance("site_out", "2026-11-25")[0]["pages"] == 4
    assert glance("site_out", "2029-01-01") == (None, None)  # pages are due
    for change in changes:
        change()
        head, swept = glance("site_out", "2026-11-25")
        assert head is None
        assert "orders/T-0001.yaml" in {name.replace("\\", "/") for name in swept.shop.by_name}


def test_a_look_from_before_another_build_does_not_count(paths, out, made):
    built(paths, out)
    swept = sweep.Swept([str(paths[0].parent)], str(out))
    write_order(paths[0].parent, order="T-0003", **{"for": "Odette"})
    built(paths, out)

    assert built(paths, out, made, swept=swept) == []
    assert _published_look(out) == sweep.outputs(str(out)).hex()


def _published_look(out):
    head = (out / "private" / RECORD).read_text(encoding="utf-8").splitlines()[0]
    return json.loads(head)["published"]


def test_after_each_of_fifty_random_edits_the_bytes_are_those_of_a_build_from_nothing(tmp_path, out):
    paths = shop_with(tmp_path, 4)
    folder, chance = tmp_path / "orders", random.Random(7)  # noqa: S311  edits, no secrets
    removed = set()
    for number in range(EDITS):
        edit = chance.choice(EVERY_EDIT)
        edit(folder, chance, number, removed)
        paths = sorted(folder.glob("T-*.yaml"))
        stay = []
        apart = {"swept": sweep.Swept([str(folder)], str(out)), "left": stay.extend} if number % 2 else {}
        results = built(paths, out, **apart)
        found, whole = uploaded(out), clean(paths, tmp_path / "clean")

        left = {name for name in found if name not in whole}
        faulty = sum(bool(result.faults) for result in results)
        assert len(stay) + len(results) == len(paths), edit.__name__
        assert _published_look(out) == sweep.outputs(str(out)).hex(), edit.__name__
        assert {name for name in whole if found.get(name) != whole[name]} == set(), edit.__name__
        pages = {name.split("/")[0] for name in left if not name.startswith("answers/")}
        assert len(pages) <= faulty + len(removed), edit.__name__


def _any(folder, chance):
    return chance.choice(sorted(path.stem for path in folder.glob("T-*.yaml")) or ["T-0001"])


def _change(folder, chance, number, _):
    power = chance.choice(["-1.00 DS", "-2.25 -0.50 x 20", "+1.50 DS"])
    write_order(
        folder, order=_any(folder, chance), prescription={"right": power, "left": power}, **{"for": f"Ada {number}"}
    )


def _add(folder, chance, number, _):
    write_order(folder, order=f"T-1{number:03}", language=chance.choice(["en", "es"]))


def _remove(folder, chance, _, removed):
    name = _any(folder, chance)
    if len(list(folder.glob("T-*.yaml"))) > 2:
        (folder / f"{name}.yaml").unlink()
        removed.add(name)


def _shop(folder, chance, number, _):
    write_shop(folder, hours=f"From {number}", language=chance.choice(["en", "es"]))


def _words(folder, chance, number, _):
    own(folder, f"words/{chance.choice(['care', 'fit'])}.md", f"Words {number}.\n")


def _answer(folder, chance, number, _):
    head = "---\ntitle: Mine\nquestion: What is mine?\nsubject: {}\naudience: Everybody\nreviewed: 2026-10-01\n---\n\n"
    subject = chance.choice(["looking-after", "money", "adapting"])
    own(folder, "faq/mine.md", head.format(subject) + f"Words {number}.\n")


def _break(folder, chance, _, __):
    path = folder / f"{_any(folder, chance)}.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("prescription:", "prescribed:"), encoding="utf-8")


def _trace(folder, chance, number, _):
    (folder / "traces").mkdir(exist_ok=True)
    trace = chance.choice(sorted(TRACES.iterdir()))
    own(folder, "traces/one.txt", trace.read_text(encoding="utf-8"))
    frame = {"outline": "traces/one.txt", "size": None, "depth": None}
    write_order(folder, order=f"T-2{number:03}", frame=frame)


def _remake(folder, chance, number, _):
    old = _any(folder, chance)
    replaces = {"order": old, "what": "a lens", "why": "it was off"}
    write_order(folder, order=f"T-3{number:03}", replaces=replaces)


EVERY_EDIT = (_change, _change, _change, _add, _remove, _remove, _shop, _words, _answer, _break, _trace, _remake)
