"""Same bytes: the same orders give the same upload/ wherever, whenever and by whomever they are built."""

from __future__ import annotations

import os
import platform
from dataclasses import dataclass, field

import pytest
from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

from tests.guard.command import explain
from tests.guard.conftest import SECRET
from tests.story.invented import copy_demo


@dataclass(frozen=True, slots=True)
class Way:
    """One way to build. day: that of the build. arguments: further ones of the command."""

    folder: str
    environment: dict[str, str] = field(default_factory=dict)
    umask: int = 0o022
    day: int = 1795564800  # 2026-11-25
    arguments: tuple[str, ...] = ()


PLAIN = Way("plain", {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "0"})
OTHERS = {
    "far away": Way(
        "a deep/földer of (another) shop/with 'marks'",
        {"TZ": "Pacific/Kiritimati", "LC_ALL": "tr_TR.UTF-8", "LANG": "ar_EG.UTF-8", "LANGUAGE": "es:de"}
        | {"PYTHONHASHSEED": "4294967295", "USER": "zork", "LOGNAME": "zork", "HOME": "/nowhere", "COLUMNS": "40"},
        umask=0o077,
        day=1835398800,  # 2028-02-29
        arguments=("--workers", "2"),
    ),
    "long behind": Way(
        "b",
        {"TZ": "Pacific/Pago_Pago", "LC_ALL": "C", "LANG": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
        | {"PYTHONHASHSEED": "1", "PYTHONOPTIMIZE": "2", "PYTHONDONTWRITEBYTECODE": "1"},
        umask=0,
        day=1791158400,  # 2026-10-05
        arguments=("--workers", "3", "--anew"),
    ),
}
"""Each changes all at once that must not change a page. What a new option must not change is another way."""
NEWER = {name for name in __cpu_dispatch__ if __cpu_features__[name]}
"""What this processor can do beyond the least that numpy asks for."""
OLDER = Way(
    "older",
    {
        "NPY_DISABLE_CPU_FEATURES": " ".join(sorted(NEWER)),
        "OPENBLAS_CORETYPE": "Nehalem",
        "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX,-AVX2,-FMA,-FMA4,-AVX512F,-AVX_Usable,-AVX2_Usable,-FMA_Usable",
    },
)
"""Arithmetic as a PC of 2009 does it: sums in another order, no products added in one go, other sines and powers."""


def built(folder, way):
    """Every file of upload/ by its name, after one build."""
    shop = folder / way.folder
    shop.parent.mkdir(parents=True, exist_ok=True)
    copy_demo(shop / "orders")
    secret = shop / "orders" / "address.secret"
    secret.write_text(f"{SECRET}\n", encoding="ascii")
    secret.chmod(0o600)
    before = os.umask(way.umask)
    try:
        explain(shop, "build", "--out", "out", *way.arguments, SOURCE_DATE_EPOCH=str(way.day), **way.environment)
    finally:
        os.umask(before)
    upload = shop / "out" / "upload"
    return {path.relative_to(upload).as_posix(): path.read_bytes() for path in upload.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return built(tmp_path_factory.mktemp("plain"), PLAIN)


@pytest.mark.parametrize("way", OTHERS.values(), ids=OTHERS.keys())
def test_it_is_the_same(plain, tmp_path, way):
    other = built(tmp_path, way)

    assert sorted(other) == sorted(plain)
    assert [name for name, data in plain.items() if other[name] != data] == []


@pytest.mark.skipif(
    platform.machine() != "x86_64" or platform.libc_ver()[0] != "glibc" or "X86_V3" not in NEWER,
    reason="only glibc on a PC of after 2013 can be told to count as an older one does",
)
def test_an_older_processor_gives_the_same_though_its_arithmetic_ends_otherwise(plain, tmp_path):
    newer, older = tmp_path / "newer", tmp_path / "older"
    assert built(newer, PLAIN) == plain
    assert built(older, OLDER) == plain

    unrounded = [sorted(folder.glob("*/out/private/*/numbers.json")) for folder in (newer, older)]
    differ = [one.read_bytes() != other.read_bytes() for one, other in zip(*unrounded, strict=True)]
    assert differ.count(True) > len(differ) / 2


def test_it_tells_two_builds_apart(plain, tmp_path):
    shop = tmp_path / "s"
    copy_demo(shop / "orders")
    path = shop / "orders" / "shop.yaml"
    words = path.read_text(encoding="utf-8")
    assert "(555) 010-0142" in words
    path.write_text(words.replace("(555) 010-0142", "(555) 010-0143"), encoding="utf-8")
    explain(shop, "build", "orders/QH-2101.yaml", "--out", "out")

    others = {one.read_bytes() for one in (shop / "out" / "upload").glob("*/index.html")}
    assert len(others) == 2
    assert not others & set(plain.values())


def test_a_build_over_an_earlier_one_changes_nothing(plain, tmp_path):
    built(tmp_path, PLAIN)
    shop = tmp_path / PLAIN.folder
    explain(shop, "build", "--out", "out")

    upload = shop / "out" / "upload"
    assert {
        path.relative_to(upload).as_posix(): path.read_bytes() for path in upload.rglob("*") if path.is_file()
    } == plain
