"""A whole order: what comes out of a good file, and that a bad one is only ever an OrderError."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder
from explain.order import OrderError, read_order, read_shop
from explain.order.model import Prism, Use

HERE = Path(__file__).parent
GOOD = (HERE / "progressive.yaml").read_text(encoding="utf-8")
PIECES = [
    *["", "\t", "- ", ": ", "{", "}", "[", "]", '"', "'", "&a ", "*a ", "!x ", "|\n", ">\n", "---\n", "#", "\x00", "é"],
    *["𝕏", "? ", "<<: ", "%", "@", "9" * 40, "\r", "\u2028", "- - - - - - -"],
]


@pytest.fixture(scope="module")
def shop():
    return read_shop(HERE / "shop.yaml")


@pytest.fixture
def order_of(tmp_path, shop):
    """Read an order from text."""

    def read(text):
        path = tmp_path / "order.yaml"
        path.write_text(text, encoding="utf-8", newline="")
        return read_order(path, shop)

    return read


@pytest.fixture(scope="module")
def progressive(shop):
    return read_order(HERE / "progressive.yaml", shop)


def test_a_good_order_is_read_without_a_doubt(progressive):
    assert progressive.doubts == ()


def test_both_forms_of_an_eye_are_read(progressive):
    order = progressive.order

    assert order.right.power == SphereCylinder(1.25, -0.5, 90.0)
    assert order.left.power == SphereCylinder(1.5, -0.75, 85.0)
    assert order.left.prisms == (Prism(1.0, "up"),)
    assert (order.right.typed, order.left.typed) == ("+1.25 -0.50 x 090", "+1.50 -0.75 x 085")


def test_one_addition_is_for_both_eyes(progressive):
    assert (progressive.order.right.add_dpt, progressive.order.left.add_dpt) == (2.0, 2.0)


def test_the_fit_is_right_then_left(progressive):
    fit = progressive.order.fit

    assert (fit.pd_right_mm, fit.pd_left_mm, fit.pd_was_split) == (32.0, 31.5, False)
    assert (fit.near_pd_right_mm, fit.near_pd_left_mm) == (30.5, 30.0)
    assert (fit.height_right_mm, fit.height_left_mm) == (20.0, 20.0)


def test_the_size_on_the_frame_is_lens_bridge_side(progressive):
    frame = progressive.order.frame

    assert (frame.lens_width_mm, frame.bridge_mm, frame.side_mm, frame.depth_mm) == (51.0, 19.0, 145.0, 37.0)


def test_measured_values_are_kept_to_the_last_place_and_not_doubted(progressive):
    checked = progressive.order.checked

    assert checked.right == SphereCylinder(1.27, -0.5, 89.0)
    assert checked.left_prisms == (Prism(1.0, "up"),)
    assert checked.on == date(2026, 3, 11)


def test_what_is_still_to_pay_follows_from_what_was_paid(progressive):
    bill = progressive.order.bill

    assert (bill.total, bill.paid, bill.balance) == (Decimal("1307.20"), Decimal("1000.00"), Decimal("307.20"))


def test_a_use_may_name_its_distance(progressive):
    assert progressive.order.use == (Use("all day"), Use("driving"), Use("desk", 65.0), Use("music stand", 80.0))


def test_the_old_pair_has_its_own_design_and_addition(progressive):
    previous = progressive.order.previous

    assert (previous.design, previous.right.add_dpt) == ("bifocal", 1.5)


def test_a_lens_that_was_not_ordered_is_absent(order_of):
    text = GOOD.replace("right: +1.25 -0.50 x 090", "right: none").replace("  right: +1.27 -0.50 x 89\n", "")

    assert order_of(text).order.right is None


def test_a_balance_lens_has_no_power_but_shares_the_addition(order_of):
    text = GOOD.replace("right: +1.25 -0.50 x 090", "right: balance").replace("  right: +1.27 -0.50 x 89\n", "")
    right = order_of(text).order.right

    assert right.is_balance
    assert right.add_dpt == 2.0


def test_a_plano_pair_needs_no_eyes(shop):
    order = read_order(HERE / "plano.yaml", shop).order

    assert (order.right.typed, order.left.power) == ("plano", SphereCylinder(0.0))


def test_a_drawn_outline_is_moved_to_the_middle_of_its_box(shop):
    outline = read_order(HERE / "plano.yaml", shop).order.frame.outline
    xs, ys = zip(*outline, strict=True)

    assert max(xs) + min(xs) == pytest.approx(0)
    assert max(ys) + min(ys) == pytest.approx(0)
    assert max(xs) - min(xs) == pytest.approx(50, abs=0.5)


def test_a_drawn_outline_always_runs_counter_clockwise(shop):
    outline = read_order(HERE / "plano.yaml", shop).order.frame.outline
    area = sum(
        x * y_next - x_next * y for (x, y), (x_next, y_next) in zip(outline, outline[1:] + outline[:1], strict=True)
    )

    assert area > 0


def test_one_pupillary_distance_is_halved_and_says_so(order_of):
    fit = order_of(GOOD.replace("pd: 32 / 31.5\n  near", "pd: 63\n  near")).order.fit

    assert (fit.pd_right_mm, fit.pd_left_mm, fit.pd_was_split) == (31.5, 31.5, True)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_system_are_read_alike(order_of, progressive, end):
    assert order_of(GOOD.replace("\n", end)).order.bill == progressive.order.bill


def test_a_mark_at_the_start_of_the_file_is_ignored(order_of, progressive):
    assert order_of("\ufeff" + GOOD).order.fit == progressive.order.fit


def test_all_faults_of_a_file_come_out_at_once_by_line(order_of):
    text = GOOD.replace("x 090", "x 900").replace("depth: 37", "depth: 370").replace("paid: 1000.00", "paid: ten")

    with pytest.raises(OrderError) as caught:
        order_of(text)

    assert [fault.key for fault in caught.value.faults] == ["prescription.right", "frame.depth", "paid"]
    assert [fault.line for fault in caught.value.faults] == [5, 11, 34]


def test_the_text_of_the_error_holds_every_fault(order_of):
    with pytest.raises(OrderError) as caught:
        order_of(GOOD.replace("x 090", "x 900").replace("depth: 37", "depth: 370"))

    assert str(caught.value) == "\n\n".join(str(fault) for fault in caught.value.faults)


def test_a_file_that_is_not_there_is_said_to_be_missing(tmp_path, shop):
    with pytest.raises(OrderError, match="there is no such file"):
        read_order(tmp_path / "nobody.yaml", shop)


def test_a_folder_is_not_an_order(tmp_path, shop):
    with pytest.raises(OrderError, match="cannot be opened"):
        read_order(tmp_path, shop)


def test_a_file_over_200_kb_is_refused(order_of):
    with pytest.raises(OrderError, match="too large"):
        order_of(GOOD + "#" * 200_001)


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_endless_nesting_is_refused_and_does_not_hurt(order_of, opening):
    with pytest.raises(OrderError):
        order_of("order: " + opening * 50_000)


@pytest.mark.parametrize(
    "name", ["order", "for", "prescription", "frame", "lenses", "price", "paid", "use", "wearer", "previous"]
)
@pytest.mark.parametrize(
    "value", ["9" * 60_000, "[" + "9" * 60_000 + "]", "{x: [" + "a " * 60_000 + "]}", "", "[[1], {a: 1}]"]
)
def test_any_name_with_anything_behind_it_is_refused_at_once(order_of, name, value):
    with pytest.raises(OrderError):
        order_of(GOOD.replace(f"\n{name}:", f"\nzzz-{name}:") + f"\n{name}: {value}\n")


@given(st.text(max_size=200))
def test_any_text_at_all_is_an_order_error(tmp_path_factory, text):
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(text.encode("utf-8", errors="surrogatepass"))

    with pytest.raises(OrderError):
        read_order(path, read_shop(HERE / "shop.yaml"))


@given(st.integers(0, len(GOOD)), st.integers(0, 12), st.sampled_from(PIECES))
def test_a_good_order_with_a_slip_of_the_keyboard_is_read_or_refused(tmp_path_factory, start, cut, piece):
    path = tmp_path_factory.getbasetemp() / "slip.yaml"
    path.write_bytes((GOOD[:start] + piece + GOOD[start + cut :]).encode())

    bill = bill_or_faults(path)

    assert bill


def bill_or_faults(path):
    """The lines of the bill of an order that can be read; the faults of one that cannot."""
    try:
        return read_order(path, read_shop(HERE / "shop.yaml")).order.bill.lines
    except OrderError as error:
        return error.faults
