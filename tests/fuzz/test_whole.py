"""Whole orders and shops by the hundred: read to what was meant, or refused in words; what is built obeys optics."""

from __future__ import annotations

import os
import re
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings

from explain.order import read_order, read_shop
from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from tests.conftest import REPOSITORY
from tests.fuzz import readers
from tests.fuzz.building import built_or_refused
from tests.fuzz.whole import loose_orders, loose_shops, typed_orders

SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
TIMES = int(os.environ.get("EXPLAIN_FUZZ", "1"))
"""How many times as many examples as usual are tried: `make fuzz` says more."""
BIG = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


@pytest.fixture(scope="module")
def order_file(tmp_path_factory):
    return tmp_path_factory.mktemp("typed") / "order.yaml"


@pytest.fixture(scope="module")
def told():
    return Counter()


@settings(max_examples=150 * TIMES, suppress_health_check=BIG)
@given(typed=typed_orders())
def test_an_order_is_read_to_what_was_meant_or_refused_in_words(order_file, told, typed):
    order_file.write_text(typed.text, encoding="utf-8", newline="")
    read = readers.order(order_file.read_bytes())

    told["read" if read else "refused"] += 1
    if read:
        order, meant = read_order(order_file, SHOP).order, typed.meant
        for eye, power in ((order.right, meant.right), (order.left, meant.left)):
            assert (eye.power.sphere_dpt, eye.power.cylinder_dpt) == (power.sphere_dpt, power.cylinder_dpt)
            assert not power.cylinder_dpt or eye.power.axis_deg == power.axis_deg
        assert (order.fit.pd_right_mm, order.fit.pd_left_mm) == meant.pd_mm
        assert (order.right.add_dpt, order.left.add_dpt) == (meant.add_dpt, meant.add_dpt)
        assert order.bill.total * 100 == meant.total_cents


def test_many_of_them_were_read_and_some_refused(told):
    """After the test above, of the same module."""
    assert told["read"] > 40
    assert told["refused"] > 10


@settings(max_examples=30 * TIMES, suppress_health_check=BIG)
@given(typed=typed_orders())
def test_a_page_obeys_the_laws_of_optics_or_is_not_built(order_file, typed):
    order_file.write_text(typed.text, encoding="utf-8", newline="")

    built_or_refused(order_file, SHOP)


@settings(max_examples=100 * TIMES, suppress_health_check=BIG)
@given(text=loose_orders)
def test_any_order_file_is_read_or_refused_in_words(text):
    readers.order(text.encode("utf-8", errors="surrogatepass"))


@settings(max_examples=100 * TIMES, suppress_health_check=BIG)
@given(text=loose_shops)
def test_any_shop_file_is_read_or_refused_in_words(text):
    readers.shop(text.encode("utf-8", errors="surrogatepass"))


@pytest.mark.parametrize(
    ("files", "table"), [(loose_orders, ORDER_KEYS), (loose_shops, SHOP_KEYS)], ids=["order", "shop"]
)
def test_every_key_there_is_is_drawn(files, table):
    names = Counter()

    @settings(max_examples=60, suppress_health_check=BIG)
    @given(text=files)
    def count(text):
        names.update(re.findall(r"[\w*-]+(?=['\"]?:)", text))

    count()
    assert not {key.name for key in table.keys if key.name != "*"} - set(names)
