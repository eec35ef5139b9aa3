"""Addresses: links that cannot be guessed, and stay the same on every build."""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import secrets
import shlex
from pathlib import Path

from explain.order.bounded import bytes_of
from explain.site.lasting import keep_names

SECRET_NAME = "address.secret"  # noqa: S105  a file name
_SECRET_BYTES = 32
_ADDRESS_BYTES = 20
LONGEST_BYTES = 1_000


class SecretError(Exception):
    """The secret file is there but cannot be used; the message says what to do."""


def read_or_make_secret(shop_folder: Path) -> bytes:
    """Read the shop's secret; the first build makes it, readable by its owner only.

    Raises SecretError when the file does not hold what we once wrote: a new secret would break every link sent.
    """
    path = shop_folder / SECRET_NAME
    if not (path.exists() or path.is_symlink()):
        _make_secret(path)
    if not path.is_file():
        raise SecretError(_damaged(path))
    try:
        secret = bytes.fromhex(bytes_of(path, LONGEST_BYTES).decode("ascii").strip())
    except OSError as error:
        raise SecretError(_cannot_be_opened(path, error)) from error
    except ValueError:
        raise SecretError(_damaged(path)) from None  # the first error quotes what it could not read
    if len(secret) != _SECRET_BYTES:
        raise SecretError(_damaged(path))
    return secret


def exposed_text(shop_folder: Path) -> str:
    """Warn of a secret that others on this computer can read, with the command that mends it; empty where none can.

    Only where files have owners and others (POSIX): elsewhere the rights of the folder count, which we cannot judge.
    """
    path = shop_folder / SECRET_NAME
    if os.name != "posix" or not path.is_file() or not path.stat().st_mode & 0o077:
        return ""
    return (
        f"{path}: warning: others on this computer can read the secret of your links\n"
        "Whoever has it and an order number can work out the link of that page.\n"
        f"Keep it to yourself:   chmod 600 {shlex.quote(str(path))}"
    )


def lost_secret_text(shop_folder: Path) -> str:
    """Say that pages were sent under a secret that is gone, and what to do."""
    path = shop_folder / SECRET_NAME
    return (
        f"{path.as_posix()}: the secret that your links depend on is gone.\n"
        "Pages were built from these orders before. A new secret would give each of them another link.\n"
        "Put your backup in its place. If no link was ever sent, empty the folder you build into, and build again."
    )


def page_address(secret: bytes, order_number: str) -> str:
    """Folder name of an order's page: 160 bits of HMAC-SHA-256 in 32 letters and digits.

    >>> len(page_address(b"x" * 32, "QH-1"))
    32
    """
    digest = hmac.new(secret, f"page:{order_number}".encode(), hashlib.sha256).digest()
    return base64.b32encode(digest[:_ADDRESS_BYTES]).decode("ascii").lower()


def _make_secret(path: Path) -> None:
    """Write a secret aside, and give it its name when the disk has it: with half a secret every link would change.

    Raises OSError. Where another build has just made one, that one stays.
    """
    aside = path.with_name(f".{os.getpid()}-{SECRET_NAME}")
    try:
        descriptor = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error
    try:
        if hasattr(os, "fchmod"):
            os.fchmod(descriptor, 0o600)  # a strict umask took from it what its owner needs
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(_SECRET_BYTES) + "\n")
            file.flush()
            os.fsync(descriptor)
        _name_once(aside, path)
    finally:
        aside.unlink(missing_ok=True)
    keep_names(path.parent)


def _name_once(aside: Path, path: Path) -> None:
    try:
        os.link(aside, path)
    except FileExistsError:
        return
    except OSError:  # a disk that knows no second name
        aside.replace(path)


def _cannot_be_opened(path: Path, error: OSError) -> str:
    return (
        f"{path.as_posix()}: this cannot be opened ({error.strerror or error}).\n"
        "All links you sent depend on this file.\n"
        "Allow yourself to read it, and try again. Do not delete it."
    )


def _damaged(path: Path) -> str:
    return (
        f"{path.as_posix()}: this is not the secret that an earlier build wrote.\n"
        f"It should be one line of {2 * _SECRET_BYTES} letters and digits. All links you sent depend on it.\n"
        "Put your backup in its place. If no link was ever sent, delete the file and build again."
    )
