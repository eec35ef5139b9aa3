"""Addresses: links that cannot be guessed, and stay the same on every build."""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import secrets
from pathlib import Path

SECRET_NAME = "address.secret"  # noqa: S105  a file name
_SECRET_BYTES = 32
_ADDRESS_BYTES = 20


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
        secret = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except (ValueError, OSError) as error:
        raise SecretError(_damaged(path)) from error
    if len(secret) != _SECRET_BYTES:
        raise SecretError(_damaged(path))
    return secret


def lost_secret_text(shop_folder: Path) -> str:
    """Say that pages were sent under a secret that is gone, and what to do."""
    path = shop_folder / SECRET_NAME
    return (
        f"{path}: the secret that your links depend on is gone.\n"
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
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(_SECRET_BYTES) + "\n")


def _damaged(path: Path) -> str:
    return (
        f"{path}: this is not the secret that an earlier build wrote.\n"
        f"It should be one line of {2 * _SECRET_BYTES} letters and digits. All links you sent depend on it.\n"
        "Put your backup in its place. If no link was ever sent, delete the file and build again."
    )
