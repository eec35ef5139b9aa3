"""Shops: shop files and what lies beside them, each read once, and the order files to read."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from explain.order import read_shop
from explain.order.faults import Fault, OrderError
from explain.order.model import Shop
from explain.site.own import Own, read_own
from explain.site.places import as_text, is_text
from explain.site.remakes import Remakes

SHOP_NAME = "shop.yaml"
ORDERS = "orders"


def order_paths(given: Sequence[Path]) -> list[Path]:
    """The orders to read: those given, else every one in orders/. A shop file among them is no order."""
    return [Path(file) for file in order_files(given)]


def order_files(given: Sequence[Path]) -> list[str]:
    """The same as text: there may be ten thousand. A folder typed in several ways goes by the first of them."""
    if not given:
        return order_files_in(ORDERS)
    once = {path.resolve(): path for path in reversed(given)}
    orders = [path for path in given if path.name != SHOP_NAME and once[path.resolve()] is path]
    typed = {folder.resolve(): folder for folder in dict.fromkeys(path.parent for path in reversed(orders))}
    return [str(typed[path.parent.resolve()] / path.name) for path in orders]


def folders_of(given: Sequence[Path]) -> list[Path]:
    """The folders of the orders to read."""
    return sorted({path.parent for path in given}) if given else [Path(ORDERS)]


def order_files_in(folder: str) -> list[str]:
    """The order files of a folder, by name."""
    try:
        names = os.listdir(folder or ".")
    except OSError:
        return []
    wanted = sorted(name for name in names if name.endswith(".yaml") and name != SHOP_NAME and name[0] != ".")
    before = os.path.join(folder, "")
    return [before + name for name in wanted if name.isascii() or is_text(name)]


def overlooked(given: Sequence[Path]) -> list[Path]:
    """Files in orders/ that look like orders and are not read, for their name; none where orders were named."""
    if given or not Path(ORDERS).is_dir():
        return []
    endings = (".yml", ".yaml")
    read = ".yaml"
    there = [name for name in os.listdir(ORDERS) if not (name.endswith(read) and (name.isascii() or is_text(name)))]
    odd = [Path(ORDERS, name) for name in sorted(there) if name.lower().endswith(endings) and name[0] != "."]
    return [path for path in odd if not path.is_dir()]


class Shops:
    """Reads each shop file once, however many orders lie beside it."""

    def __init__(self) -> None:
        self._known: dict[Path, Shop] = {}
        self._own: dict[Path, Own] = {}
        self._remakes: dict[Path, Remakes] = {}

    def beside(self, order_path: Path) -> Shop:
        """The shop file beside an order. Raises OrderError with every fault of it."""
        folder = order_path.parent
        if folder not in self._known:
            _need_shop_file(folder / SHOP_NAME)
            self._known[folder] = read_shop(folder / SHOP_NAME)
        return self._known[folder]

    def remakes_beside(self, order_path: Path) -> Remakes:
        """Which of the orders in the folder replace each other."""
        folder = order_path.parent
        if folder not in self._remakes:
            self._remakes[folder] = Remakes.in_folder(folder)
        return self._remakes[folder]

    def own_beside(self, order_path: Path) -> Own:
        """The shop's own words, parts and answers. Raises OrderError with every fault of them."""
        folder = order_path.parent
        if folder not in self._own:
            self._own[folder] = read_own(folder)
        return self._own[folder]


def need_order_file(path: Path) -> None:
    """Raise OrderError for a folder, or a name that is no file, before its shop is looked for."""
    if not is_text(str(path)):
        allowed = "The name of a file is text: letters, digits and signs (UTF-8)."
        raise OrderError([_fault_of_file(as_text(path), "this file name is not text", allowed, "Rename the file.")])
    if path.is_dir():
        advice = f"Name the orders in it, for example:   explain check {path.as_posix()}/*.yaml"
        raise OrderError([_fault_of_file(path, "this is a folder, not an order", "An order is a file.", advice)])
    if not path.is_file():
        allowed = "An order is named with its folder and its ending, for example:   orders/QH-2101.yaml"
        raise OrderError([_fault_of_file(path, "there is no such file", allowed, "Check its name and its folder.")])


def _need_shop_file(path: Path) -> None:
    if not path.is_file():
        allowed = f"Every order is read with the {SHOP_NAME} of its own folder: who writes the page, phone, prices."
        advice = f"Put your {SHOP_NAME} there, or move the order to the folder that holds it."
        raise OrderError([_fault_of_file(path, "there is no shop file beside the order", allowed, advice)])


def _fault_of_file(path: Path, message: str, allowed: str, advice: str) -> Fault:
    return Fault(file=path.as_posix(), line=0, key="", message=message, excerpt="", allowed=allowed, advice=advice)
