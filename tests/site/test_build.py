"""Build: one order at a time, and a page that was published stays as it was unless a better one takes its place."""

from __future__ import annotations

import errno
import json
import os

import pytest

from explain.site import publish
from explain.site.address import SecretError
from explain.site.build import build
from explain.site.checking import check
from explain.site.engine import transaction
from explain.site.engine.record import ADDED
from explain.site.engine.sweep import RECORD
from explain.site.shops import order_paths
from tests.story.invented import write_order, write_shop

NO_AXIS = {"prescription": {"right": "-4.00 -1.00"}}
OUTSIDE = {"checked": {"right": "-4.50 DS"}}
ACCEPTED = {"accepted": {"by": "Odile, by phone", "why": "She needed the pair for a journey."}}
TOO_STRONG = {
    "prescription": {"right": "+20.00 DS", "left": "+20.00 DS"},
    "frame": {"size": "70-14-140", "depth": "60"},
}


def snapshot(folder):
    """Every file but the desk page and the record, which tell of each build, and the lock."""
    ours = [folder / "private" / name for name in ("index.html", RECORD, ADDED, ".building")]
    files = [path for path in folder.rglob("*") if path.is_file() and path not in ours]
    return {path: path.read_bytes() for path in files}


def messages(result):
    return "\n".join(str(fault) for fault in result.faults)


def test_an_order_becomes_a_page_and_its_numbers(shop):
    (result,) = shop.build(shop.order())

    assert result.faults == ()
    assert result.page.is_relative_to(shop.out / "upload")
    assert "Odile" in shop.page(result)
    assert (
        json.loads((shop.out / "private" / "T-0001" / "numbers.json").read_text(encoding="utf-8"))["order"] == "T-0001"
    )


def test_the_page_of_an_order_lies_under_an_address_of_its_own(shop):
    results = shop.build(shop.order(), shop.order(order="T-0002"))

    assert len({result.page for result in results}) == 2
    assert all("T-000" not in str(result.page.relative_to(shop.out)) for result in results)


def test_nothing_private_lies_in_the_folder_to_upload(shop):
    shop.build(shop.order())

    upload = shop.out / "upload"
    names = [path.name for path in upload.rglob("*") if path.is_file() and path.parent != upload / "answers"]
    assert sorted(names) == ["_headers", "index.html", "index.html", "robots.txt"]
    shop.build(shop.order(sent="2026-10-10"))
    assert [path.name for path in (shop.out / "upload").rglob("*.ics")] == ["reminders.ics"]
    assert {path.suffix for path in (upload / "answers").iterdir()} == {".html"}


def test_building_twice_changes_nothing(shop):
    order = shop.order()
    shop.build(order)
    before = snapshot(shop.out)

    shop.build(order)

    assert snapshot(shop.out) == before


def test_a_corrected_order_replaces_its_page_under_the_same_address(shop):
    (first,) = shop.build(shop.order())
    (second,) = shop.build(shop.order(**{"for": "Odette"}))

    assert second.page == first.page
    assert "Odette" in shop.page(second)
    assert "Odile" not in shop.page(second)


def test_a_faulty_order_leaves_its_published_page_untouched(shop):
    shop.build(shop.order())
    before = snapshot(shop.out)

    (result,) = shop.build(shop.order(**NO_AXIS))

    assert result.page is None
    assert "axis" in messages(result)
    assert snapshot(shop.out) == before


def test_a_pair_outside_the_standard_is_not_published(shop):
    (result,) = shop.build(shop.order(**OUTSIDE))

    assert result.page is None
    assert "0.50 dioptres off, 0.37 more than allowed" in messages(result)
    assert "accepted" in messages(result)
    assert not (shop.out / "private" / "T-0001").exists()


def test_a_pair_that_falls_outside_on_a_second_check_leaves_its_page_untouched(shop):
    shop.build(shop.order(checked={"right": "-4.00 DS"}))
    before = snapshot(shop.out)

    shop.build(shop.order(**OUTSIDE))

    assert snapshot(shop.out) == before


def test_every_value_outside_is_named(shop):
    (result,) = shop.build(shop.order(checked={"right": "-4.50 DS", "left": "-3.50 DS"}))

    assert [("right" in str(fault), "left" in str(fault)) for fault in result.faults] == [(True, False), (False, True)]


def test_a_pair_outside_that_was_accepted_is_published_and_says_so(shop):
    (result,) = shop.build(shop.order(**OUTSIDE, **ACCEPTED))

    assert result.faults == ()
    assert ACCEPTED["accepted"]["why"] in shop.page(result)
    assert "outside by 0.37" in shop.page(result)


def test_a_lens_that_cannot_be_made_is_explained_and_not_published(shop):
    (result,) = shop.build(shop.order(**TOO_STRONG))

    assert result.page is None
    assert "cannot be made" in messages(result)
    assert "radius" in messages(result)
    assert "higher index" in messages(result)


def copied(first, name):
    """A copy of an order file with another name for the customer, as when an old order is used as a pattern."""
    second = first.with_name(name)
    second.write_text(first.read_text(encoding="utf-8").replace("Odile", "Odette"), encoding="utf-8")
    return second


def test_orders_that_share_a_number_are_both_refused_and_each_names_the_other(shop):
    first = shop.order()
    second = copied(first, "copy.yaml")

    one, other = shop.build(first, second)

    assert (one.page, other.page) == (None, None)
    assert str(second) in messages(one)
    assert str(first) in messages(other)


@pytest.mark.parametrize("name", ["A copy.yaml", "Z copy.yaml"])
def test_a_copied_order_never_shows_at_the_first_customer_s_link(shop, name):
    first = shop.order()
    (published,) = shop.build(first)
    before = published.page.read_bytes()
    second = copied(first, name)

    shop.build(*sorted([first, second]))
    (alone,) = shop.build(second)

    assert published.page.read_bytes() == before
    assert alone.page is None
    assert str(first) in messages(alone)


def test_numbers_that_differ_only_in_capital_letters_are_the_same(shop):
    results = shop.build(shop.order(order="T-1"), shop.order(order="t-1"))

    assert [result.page for result in results] == [None, None]


def test_a_renamed_order_file_keeps_its_page(shop):
    first = shop.order()
    (published,) = shop.build(first)

    (again,) = shop.build(first.rename(first.with_name("renamed.yaml")))

    assert again.page == published.page


def test_a_check_sees_shared_numbers_too(shop):
    first = shop.order()

    results = list(check([first, copied(first, "copy.yaml")]))

    assert all(result.faults for result in results)


def test_a_file_named_twice_is_read_once(shop):
    first = shop.order()

    assert order_paths([first, first.parent / ".." / first.parent.name / first.name]) == [first]


def test_one_bad_order_does_not_stop_the_others(shop):
    bad, good = shop.order(order="T-0001", **NO_AXIS), shop.order(order="T-0002")
    missing = good.with_name("T-0009.yaml")

    results = shop.build(bad, missing, good)

    assert [result.page is not None for result in results] == [False, False, True]
    assert "no such" in messages(results[1])


def test_a_doubt_does_not_stop_an_order(shop):
    (result,) = shop.build(shop.order(prescription={"left": "-1.00 DS"}))

    assert result.doubts
    assert result.page is not None


def test_an_order_without_a_shop_file_beside_it_is_told_which_is_missing(shop):
    (shop.orders / "shop.yaml").unlink()

    (result,) = shop.build(shop.order())

    assert "shop.yaml" in messages(result)


def test_orders_of_two_shops_are_each_read_with_their_own_shop(shop, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    text = (shop.orders / "shop.yaml").read_text(encoding="utf-8").replace("Quill Harbor Opticians", "Larch Street")
    (other / "shop.yaml").write_text(text, encoding="utf-8")
    order = shop.order()
    second = other / "T-0002.yaml"
    second.write_text(order.read_text(encoding="utf-8").replace("T-0001", "T-0002"), encoding="utf-8")

    one, two = shop.build(order, second)

    assert "Quill Harbor" in shop.page(one)
    assert "Larch Street" in shop.page(two)


def test_a_check_finds_what_a_build_would_and_writes_nothing(shop):
    paths = [shop.order(**NO_AXIS), shop.order(order="T-0002"), shop.order(order="T-0003", **OUTSIDE)]

    checked = list(check(paths))

    assert not shop.out.exists()
    assert not (shop.orders / "address.secret").exists()
    assert [messages(one) for one in checked] == [messages(one) for one in build(paths, shop.out)]


def test_a_page_is_given_as_soon_as_it_is_done(shop):
    results = build([shop.order(), shop.order(order="T-0002")], shop.out)

    assert next(results).page.exists()
    assert not (shop.out / "private" / "T-0002").exists()


def test_without_names_every_order_of_the_folder_is_taken_and_the_shop_is_not(shop, monkeypatch):
    shop.order(order="T-0002")
    shop.order()
    monkeypatch.chdir(shop.orders.parent)

    assert [path.name for path in order_paths([])] == ["T-0001.yaml", "T-0002.yaml"]


PRISM = {"right": "-2.00 DS prism 1.5 down", "left": "-2.00 DS prism 1.5 up"}


def test_ordered_prism_that_nobody_measured_is_doubted(shop):
    path = shop.order(prescription=PRISM, checked={"right": "-2.00 DS", "left": "-2.00 DS"})

    (result,) = check([path])

    assert [doubt.message for doubt in result.doubts if "prism" in doubt.message]


def test_ordered_prism_that_was_measured_is_not(shop):
    path = shop.order(prescription=PRISM, checked=PRISM)

    (result,) = check([path])

    assert not [doubt.message for doubt in result.doubts if "prism" in doubt.message]
    assert result.faults == ()


@pytest.mark.parametrize(("measured", "doubted"), [("-5.00 DS", False), ("-5.25 DS", True)])
def test_a_balance_lens_over_a_dioptre_from_its_twin_is_doubted(shop, measured, doubted):
    path = shop.order(prescription={"left": "balance"}, checked={"right": "-4.00 DS", "left": measured})

    (result,) = check([path])

    assert bool([doubt for doubt in result.doubts if "balance" in doubt.message]) == doubted


def test_a_lost_secret_stops_the_build_before_any_link_changes(shop):
    first = shop.order()
    (published,) = shop.build(first)
    (shop.orders / "address.secret").unlink()

    with pytest.raises(SecretError, match="gone"):
        shop.build(first)

    assert published.page.is_file()
    assert not (shop.orders / "address.secret").exists()


def test_a_new_shop_in_an_old_folder_gets_a_secret_of_its_own(shop, tmp_path):
    shop.build(shop.order())
    (tmp_path / "second").mkdir()
    write_shop(tmp_path / "second")

    (result,) = build([write_order(tmp_path / "second", order="T-0002")], shop.out)

    assert result.page.is_file()


@pytest.mark.parametrize(("height", "doubted"), [("22", False), ("22.5", True)])
def test_a_place_far_from_the_order_is_doubted_where_no_limit_covers_it(shop, height, doubted):
    eyes = {"left": "none", "heights": "20 / 20"}
    path = shop.order(prescription=eyes, checked={"right": "-4.00 DS", "heights": f"{height} / {height}"})

    (result,) = check([path])

    assert bool([doubt for doubt in result.doubts if "from the order" in doubt.message]) == doubted


def test_a_lens_that_was_not_measured_is_doubted_and_the_page_does_not_claim_it(shop):
    (result,) = shop.build(shop.order(checked={"right": "-4.00 DS"}))

    assert "no power for the left lens" in "\n".join(doubt.message for doubt in result.doubts)
    assert "We measured part of them" in shop.page(result)
    assert "the power of the left lens" in shop.page(result)


def test_distances_alone_are_no_lensmeter_check(shop):
    (result,) = shop.build(shop.order(checked={"pd": "31 / 31"}))

    assert "lensmeter" not in shop.page(result)


def test_an_eye_that_looks_past_its_lens_is_refused(shop):
    frame = {"size": "30-8", "depth": "18", "outline": "round"}
    path = shop.order(prescription={"pd": "42 / 42", "heights": "5.5 / 17"}, frame=frame)

    (result,) = check([path])

    assert "does not look through" in messages(result)


def test_a_page_that_cannot_be_written_is_a_fault_of_its_own(shop, monkeypatch):
    first, second = shop.order(), shop.order(order="T-0002")
    real = transaction.write_lasting

    def full(path, data):
        if b"T-0001" in data and path.name.isdigit():
            raise OSError(errno.ENOSPC, "No space left on device", str(path))
        real(path, data)

    monkeypatch.setattr(transaction, "write_lasting", full)
    one, other = shop.build(first, second)

    assert "cannot be written" in messages(one)
    assert other.page.is_file()


def test_nothing_is_built_inside_the_folder_that_goes_to_the_host(shop):
    shop.build(shop.order())

    with pytest.raises(publish.FolderError, match="web host"):
        list(build([shop.order()], shop.out / "upload"))


def test_files_that_begin_with_a_dot_are_no_orders(shop, monkeypatch):
    first = shop.order()
    first.with_name(".#copy.yaml").write_text(first.read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.chdir(shop.orders.parent)

    assert [path.name for path in order_paths([])] == [first.name]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes with a name are a thing of POSIX")
def test_a_pipe_among_the_orders_holds_no_build_up(shop):
    good = shop.order()
    pipe = good.with_name("T-0002.yaml")
    os.mkfifo(pipe)

    first, second = shop.build(good, pipe)

    assert first.page.is_file()
    assert "no such file" in messages(second)
    assert shop.build(good)[0].faults == ()
