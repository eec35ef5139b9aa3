"""Confined: no file leads out of the shop's folder, no report into upload/, and the secret is its owner's alone."""

from __future__ import annotations

import os
import stat

import pytest

from explain.order import OrderError, read_order, read_shop
from explain.order.order import is_order_number
from explain.site.address import SECRET_NAME, SecretError, exposed_text, read_or_make_secret
from explain.site.own import read_own, refuse_reaching
from explain.site.publish import FolderError, prepare
from tests.guard.command import explain
from tests.story.invented import write_order, write_shop

posix = pytest.mark.skipif(os.name != "posix", reason="files have rights of this kind on POSIX only")
OUTWARDS = [
    *("../secret.txt", "traces/../../secret.txt", "..\\secret.txt", "traces\\..\\..\\secret.txt", "/etc/passwd"),
    *("C:\\a.txt", "c:a.txt", "\\\\server\\share\\a.txt", "//server/share/a.txt", "\\a.txt", "\\\\?\\C:\\a.txt"),
    *(
        "traces/CON",
        "traces/con.txt",
        "nul.txt",
        "traces/NUL",
        "aux.a.txt",
        "com1.txt",
        "LPT9.txt",
        "COM\u00b9.txt",
        "prn .txt",
    ),
    *(
        "traces./a.txt",
        "traces /a.txt",
        "traces/a.txt.",
        "traces/a.txt:stream",
        "traces/a?.txt",
        "traces/...",
        "~/a.txt",
    ),
]
NO_NUMBERS = [
    "..",
    ".",
    "a/b",
    "a\\b",
    "CON",
    "nul.1",
    "A.",
    "index.html",
    "answers.txt",
    "INDEX.HTML",
    "a.json",
    "a b",
]


@pytest.fixture
def orders(tmp_path):
    folder = tmp_path / "shop" / "orders"
    folder.mkdir(parents=True)
    write_shop(folder)
    (tmp_path / "shop" / "secret.txt").write_text("TRCFMT=1;400;E;R;F\n", encoding="utf-8")
    return folder


def faults_of(path):
    with pytest.raises(OrderError) as refused:
        read_order(path, read_shop(path.with_name("shop.yaml")))
    return refused.value.faults


@pytest.mark.parametrize("name", OUTWARDS)
def test_a_trace_that_leads_out_or_has_no_name_everywhere_is_refused(orders, name):
    (orders / "traces").mkdir()
    path = write_order(orders, frame={"outline": name, "size": None, "depth": None})

    (fault, *_) = faults_of(path)

    assert fault.line > 0
    assert "TRCFMT" not in str(fault)
    assert any(words in fault.message for words in ("does not lie in", "cannot be", "is not there"))
    assert "is not there" not in fault.message or name == "~/a.txt"


@posix
@pytest.mark.parametrize("how", ["a file", "a folder", "a circle"])
def test_a_trace_by_a_link_to_elsewhere_is_refused(orders, how):
    traces = orders / "traces"
    if how == "a folder":
        traces.symlink_to(orders.parent)
    else:
        traces.mkdir()
        (traces / "secret.txt").symlink_to("secret.txt" if how == "a circle" else orders.parent / "secret.txt")
    path = write_order(orders, frame={"outline": "traces/secret.txt", "size": None, "depth": None})

    (fault, *_) = faults_of(path)
    assert "leads out" in fault.message or how == "a circle"


@posix
def test_an_order_and_a_shop_file_by_a_link_to_elsewhere_are_refused(orders):
    outside = write_order(orders).rename(orders.parent / "T-0001.yaml")
    (orders / "T-0001.yaml").symlink_to(outside)

    (fault,) = faults_of(orders / "T-0001.yaml")
    assert (fault.message, fault.excerpt) == ("this is a link to a file elsewhere", "")
    (orders / "shop.yaml").rename(orders.parent / "shop.yaml")
    (orders / "shop.yaml").symlink_to(orders.parent / "shop.yaml")
    with pytest.raises(OrderError, match="link to a file elsewhere"):
        read_shop(orders / "shop.yaml")


@posix
@pytest.mark.parametrize("folder", ["words", "parts", "faq", "words/es"])
@pytest.mark.parametrize("whole", [True, False])
def test_words_parts_and_answers_by_a_link_to_elsewhere_are_refused(orders, folder, whole):
    name = "contents.html" if folder == "parts" else "care.md"
    elsewhere = orders.parent / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / name).write_text("Words\n", encoding="utf-8")
    (orders / folder).parent.mkdir(exist_ok=True)
    if whole:
        (orders / folder).symlink_to(elsewhere)
    else:
        (orders / folder).mkdir()
        (orders / folder / name).symlink_to(elsewhere / name)

    with pytest.raises(OrderError, match="leads out of the folder of your orders"):
        read_own(orders)


@posix
@pytest.mark.parametrize("name", ["upload", "private"])
def test_a_build_does_not_write_through_a_link(tmp_path, name):
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / name).symlink_to(tmp_path / "elsewhere")

    with pytest.raises(FolderError, match="this is a link to another folder"):
        prepare(tmp_path / "out")
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize("number", NO_NUMBERS)
def test_an_order_number_is_a_folder_of_its_own_on_every_computer(number):
    assert not is_order_number(number)


@pytest.mark.parametrize("number", ["x" * 10_000, "x" * 41, "A" + "." * 300, "index.html"])
def test_an_order_whose_number_can_name_no_folder_is_refused_and_stops_no_other(orders, number):
    write_order(orders)
    write_order(orders, order="T-0002").write_text(f"order: {number}\nfor: Ada\n", encoding="utf-8")

    said = explain(orders.parent, "build", status=2)

    assert "orders/T-0002.yaml:1: " in said
    assert "1 page written" in said
    assert len(said) < 4000


def test_a_report_goes_neither_to_the_web_host_nor_over_another_file(orders):
    write_order(orders)
    shop = orders.parent
    explain(shop, "build", "--report", "report.json")
    explain(shop, "build", "--report", "report.json")
    before = {path: path.read_bytes() for path in shop.rglob("*") if path.is_file() and ".yaml" in path.name}

    for to in (
        "site_out/upload/report.json",
        "site_out/upload/a/b/report.json",
        f"orders/{SECRET_NAME}",
        "orders/shop.yaml",
    ):
        explain(shop, "check", "--report", to, status=2)

    assert list((shop / "site_out" / "upload").rglob("report.json")) == []
    assert {path: path.read_bytes() for path in before} == before
    read_or_make_secret(orders)


@posix
@pytest.mark.parametrize("umask", [0, 0o022, 0o077, 0o277, 0o777])
def test_the_secret_is_its_owners_alone_whatever_the_umask(tmp_path, umask):
    before = os.umask(umask)
    try:
        secret = read_or_make_secret(tmp_path)
    finally:
        os.umask(before)

    assert stat.S_IMODE((tmp_path / SECRET_NAME).stat().st_mode) == 0o600
    assert read_or_make_secret(tmp_path) == secret
    assert exposed_text(tmp_path) == ""


@posix
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o644, 0o660])
def test_a_secret_that_others_can_read_is_told_with_the_command_that_mends_it(orders, mode):
    order, secret = write_order(orders), read_or_make_secret(orders)
    (orders / SECRET_NAME).chmod(mode)

    said = explain(orders.parent, "build", str(order.relative_to(orders.parent)))

    assert "chmod 600 orders/address.secret" in said
    assert secret.hex() not in said


@pytest.mark.parametrize("text", ["not hexadecimal: {0}", "{0}{0}", "{0}\u00e9", "{0}" * 100])
def test_a_damaged_secret_is_never_quoted(tmp_path, text):
    told = "ab" * 32
    (tmp_path / SECRET_NAME).write_text(text.format(told), encoding="utf-8")

    with pytest.raises(SecretError) as refused:
        read_or_make_secret(tmp_path)

    assert told not in f"{refused.value!r} {refused.value.__cause__!r}"
    assert refused.value.__suppress_context__ or refused.value.__context__ is None


def test_no_command_tells_the_secret(orders):
    write_order(orders)
    secret = read_or_make_secret(orders).hex()
    shop = orders.parent
    said = "".join(
        explain(shop, *arguments)
        for arguments in (("build",), ("check",), ("check", "--json"), ("links", "--json"), ("retire", "T-0001"))
    )
    written = b"".join(path.read_bytes() for path in (shop / "site_out").rglob("*") if path.is_file())

    assert secret not in said
    assert secret.encode() not in written
    assert bytes.fromhex(secret) not in written


@pytest.mark.parametrize("odd", [
    '<meta http-equiv="refresh" content="0;url=https://x.example">', "<link rel=preconnect href=//x.example>",
    "<script>x</script>", "<STYLE>a{}</STYLE>", "<base href=//x.example>", "<iframe src=//x.example></iframe>",
    "< form>", "<object>", "<embed>",
])  # fmt: skip
def test_a_part_of_the_shops_own_cannot_reach_out(orders, odd):
    ours = "{% macro contents(groups) %}\n" + odd + "\n{% endmacro %}\n"
    (orders / "parts").mkdir()
    (orders / "parts" / "contents.html").write_text(ours, encoding="utf-8")

    with pytest.raises(OrderError, match="cannot stand in a part"):
        read_own(orders)


def test_a_part_that_hides_what_it_writes_gives_no_page(orders):
    write_order(orders)
    hidden = '{% macro contents(groups) %}<{{ "me" ~ "ta" }} http-equiv="refresh">{% endmacro %}\n'
    (orders / "parts").mkdir()
    (orders / "parts" / "contents.html").write_text(hidden, encoding="utf-8")

    said = explain(orders.parent, "build", "orders/T-0001.yaml", status=2)

    assert "<meta> stands in them" in said
    pages = (orders.parent / "site_out" / "upload").glob("*/index.html")
    assert [page for page in pages if page.parent.name != "answers"] == []


def test_what_a_page_says_of_such_elements_is_no_element():
    refuse_reaching("<html><head><meta charset=utf-8></head><body><p>&lt;meta&gt; stands here</p></body></html>")
