"""QR codes read back by ZXing from the printed page."""

from __future__ import annotations

import numpy as np
import pytest
import zxingcpp

from guidegen.drawing.codes import qr_code
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import BLACK, Document, Rect, Sheet, Style
from guidegen.errors import GuidegenError

ADDRESSES = [
    ("http://example.org", 15),
    ("https://example.org/handbook/anna-7?page=12&x=%C5%82", 20),
    ("https://example.org/" + "long/" * 30, 40),
]


@pytest.mark.parametrize(("address", "size_mm"), ADDRESSES)
def test_a_scanner_reads_the_address_from_paper(address, size_mm, rendered):
    page = Document((Sheet(105, 148, (qr_code(address, 30, 40, size_mm),)),))
    found = zxingcpp.read_barcodes(rendered(write_pdf(page), dpi=200))
    assert [code.text for code in found] == [address]


def test_a_scanner_reads_it_on_a_dark_ground(rendered):
    """The quiet zone comes with the code."""
    ground = Rect(20, 20, 60, 60, Style(fill=BLACK))
    code = qr_code("https://example.org/a", 30, 40, 20)
    image = rendered(write_pdf(Document((Sheet(105, 148, (ground, code)),))), dpi=200)
    assert [code.text for code in zxingcpp.read_barcodes(image)] == ["https://example.org/a"]


def test_the_quiet_zone_is_four_modules_wide(rendered):
    """ISO/IEC 18004: four modules on all sides; a version 2 code has 25 × 25 modules."""
    image = rendered(write_pdf(Document((Sheet(105, 148, (qr_code("https://example.org/a", 20, 20, 33),)),))))
    dark = np.asarray(image.convert("L")) < 128
    columns, rows = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    for edges in (columns, rows):
        assert edges[0] / 5 == pytest.approx(20 + 4, abs=0.11)  # 33 modules of 1 mm
        assert (edges[-1] + 1) / 5 == pytest.approx(20 + 29, abs=0.11)


def test_bars_leave_no_gap_between_modules(rendered):
    image = rendered(
        write_pdf(Document((Sheet(105, 148, (qr_code("https://example.org/a", 20.13, 20.17, 33),)),))), dpi=71
    )
    finder = image.convert("L").crop(tuple(round(v * 71 / 25.4) for v in (26.6, 26.6, 28.6, 28.6)))
    assert finder.getextrema()[1] < 40  # the middle of the finder pattern is wholly dark


@pytest.mark.parametrize(
    "address",
    [
        "ftp://example.org",
        "javascript:alert(1)",
        "example.org",
        "https://",
        "",
        "http://[",
        "https://a b.org",
    ],
)
def test_only_web_addresses_are_coded(address):
    with pytest.raises(GuidegenError, match="web address"):
        qr_code(address, 0, 0, 20)


def test_a_code_too_fine_to_scan_is_refused():
    with pytest.raises(ValueError, match="15"):
        qr_code("https://example.org", 0, 0, 14.9)
    with pytest.raises(GuidegenError, match="too long"):
        qr_code(ADDRESSES[2][0], 0, 0, 15)
    with pytest.raises(GuidegenError, match="too long"):
        qr_code("https://example.org/" + "x" * 5000, 0, 0, 200)
