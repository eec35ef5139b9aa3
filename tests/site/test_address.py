"""Addresses: the same on every build, beyond guessing, and a secret that is never lost or overwritten by us."""

from __future__ import annotations

import base64
import errno
import os
import stat
import subprocess
import sys

import pytest

from explain.site.address import SECRET_NAME, SecretError, page_address, read_or_make_secret
from tests.conftest import REPOSITORY

SECRET, OTHER = bytes(range(32)), bytes(range(1, 33))


def test_an_order_has_the_same_address_every_time():
    assert page_address(SECRET, "QH-1") == page_address(SECRET, "QH-1")


def test_orders_and_secrets_give_addresses_of_their_own():
    addresses = {page_address(secret, number) for secret in (SECRET, OTHER) for number in ("QH-1", "QH-2", "qh-1")}

    assert len(addresses) == 6


def test_an_address_holds_at_least_128_bits_and_is_safe_in_a_link():
    address = page_address(SECRET, "QH-1")

    assert len(base64.b32decode(address.upper())) * 8 >= 128
    assert address == address.lower()
    assert address.isalnum()


def test_an_address_does_not_hold_the_order_number():
    number = "a2"  # letters and figures that an address may hold
    addresses = [page_address(bytes([byte]) * 32, number) for byte in range(4)]

    assert all(number.encode() not in base64.b32decode(address.upper()) for address in addresses)
    assert not any(address.startswith(number) for address in addresses)


def test_the_first_build_makes_a_secret_that_only_its_owner_can_read(tmp_path):
    before = os.umask(0)
    try:
        secret = read_or_make_secret(tmp_path)
    finally:
        os.umask(before)

    assert len(secret) == 32
    assert stat.S_IMODE((tmp_path / SECRET_NAME).stat().st_mode) == 0o600


def test_every_later_build_reads_the_same_secret_and_leaves_it_alone(tmp_path):
    first = read_or_make_secret(tmp_path)
    kept = (tmp_path / SECRET_NAME).read_bytes()

    assert read_or_make_secret(tmp_path) == first
    assert (tmp_path / SECRET_NAME).read_bytes() == kept


def test_first_builds_at_once_agree_on_one_secret_and_leave_nothing_else(tmp_path):
    asks = f"print(read_or_make_secret(Path({str(tmp_path)!r})))"
    code = f"from pathlib import Path; from explain.site.address import read_or_make_secret; {asks}"
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    builds = [
        subprocess.Popen([sys.executable, "-c", code], env=environment, stdout=subprocess.PIPE, text=True)
        for _ in range(6)
    ]

    assert {build.communicate(timeout=60)[0] for build in builds} == {f"{read_or_make_secret(tmp_path)}\n"}
    assert [path.name for path in tmp_path.iterdir()] == [SECRET_NAME]


def test_a_disk_that_knows_no_second_name_of_a_file_has_its_secret_too(tmp_path, monkeypatch):
    def refuse(*_):
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)

    assert len(read_or_make_secret(tmp_path)) == 32
    assert [path.name for path in tmp_path.iterdir()] == [SECRET_NAME]


def test_where_no_secret_can_be_written_it_is_the_secret_that_is_named(tmp_path):
    with pytest.raises(FileNotFoundError) as refused:
        read_or_make_secret(tmp_path / "none")

    assert refused.value.filename == str(tmp_path / "none" / SECRET_NAME)


def test_two_shops_have_secrets_of_their_own(tmp_path):
    for name in ("one", "other"):
        (tmp_path / name).mkdir()

    assert read_or_make_secret(tmp_path / "one") != read_or_make_secret(tmp_path / "other")


@pytest.mark.parametrize(
    "damaged", [b"", b"\n", b"not a secret\n", b"00" * 31, b"00" * 33, b"\xff\xfe", b"zz" * 32],
    ids=["empty", "blank", "words", "too short", "too long", "not text", "not hex"],
)  # fmt: skip
def test_a_damaged_secret_is_named_and_never_replaced(tmp_path, damaged):
    path = tmp_path / SECRET_NAME
    path.write_bytes(damaged)

    with pytest.raises(SecretError) as raised:
        read_or_make_secret(tmp_path)

    assert path.read_bytes() == damaged
    assert str(path) in str(raised.value)
    assert "backup" in str(raised.value)


def test_a_secret_that_is_no_file_is_refused_in_words(tmp_path):
    (tmp_path / SECRET_NAME).mkdir()

    with pytest.raises(SecretError, match="not the secret"):
        read_or_make_secret(tmp_path)


def test_a_link_that_leads_nowhere_is_refused_and_not_replaced(tmp_path):
    (tmp_path / SECRET_NAME).symlink_to(tmp_path / "gone")

    with pytest.raises(SecretError, match="not the secret"):
        read_or_make_secret(tmp_path)
