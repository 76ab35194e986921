"""Every PDF and SVG of the packs opens without complaint in readers that share no code with the writers."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from lxml import etree

MM = 72 / 25.4
ISO_216_MM = {(210, 297), (148, 210), (105, 148), (74, 105), (297, 420), (420, 594), (594, 841), (841, 1189)}


@pytest.fixture(scope="module")
def files(packs: Path) -> list[Path]:
    found = sorted(packs.rglob("*.pdf"))
    assert found
    return found


def said(*command: object) -> str:
    """What a reader says about a file; it must end well."""
    done = subprocess.run([*map(str, command)], capture_output=True, text=True)
    assert done.returncode == 0, f"{command}: {done.stdout}{done.stderr}"
    return done.stdout + done.stderr


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not installed")
def test_qpdf_finds_no_fault(files: list[Path]) -> None:
    for file in files:
        assert "No syntax or stream encoding errors found" in said("qpdf", "--check", file), file.name


@pytest.mark.skipif(not shutil.which("mutool"), reason="mutool is not installed")
def test_mupdf_reads_every_page_without_warning(files: list[Path]) -> None:
    for file in files:
        shown = said("mutool", "info", file)
        assert not [line for line in shown.splitlines() if line.startswith(("warning", "error"))], file.name


@pytest.mark.skipif(not shutil.which("pdfinfo"), reason="poppler is not installed")
def test_poppler_reads_it_and_sees_no_script(files: list[Path]) -> None:
    for file in files:
        shown = said("pdfinfo", file)
        assert "Syntax" not in shown, file.name
        facts = dict(line.split(":", 1) for line in shown.splitlines() if ":" in line)
        assert facts["JavaScript"].strip() == "no", file.name
        assert facts["Encrypted"].strip() == "no"
        assert facts["PDF version"].strip() >= "1.4"


@pytest.mark.skipif(not shutil.which("pdffonts"), reason="poppler is not installed")
def test_poppler_finds_every_font_embedded_as_a_subset(files: list[Path]) -> None:
    for file in files:
        rows = said("pdffonts", file).splitlines()[2:]
        for row in rows:
            embedded, subset = row.split()[-5:-3]
            assert (embedded, subset) == ("yes", "yes"), f"{file.name}: {row}"


def test_pages_are_sheets_of_iso_216_and_boxes_lie_in_each_other(files: list[Path]) -> None:
    """ISO 32000-1, 14.11.2: the crop box lies in the media box; ISO 216 sizes to the millimetre."""
    for file in files:
        for page in pypdf.PdfReader(file).pages:
            sides = sorted((round(float(page.mediabox.width) / MM), round(float(page.mediabox.height) / MM)))
            assert tuple(sides) in ISO_216_MM, file.name
            assert page.cropbox == page.mediabox
            assert page.mediabox.lower_left == (0, 0)
            assert page.rotation == 0


def test_pdfium_draws_something_on_every_page(files: list[Path]) -> None:
    every = 1 if os.environ.get("GUIDEGEN_ALL_SAMPLES") else max(1, len(files) // 12)
    for file in files[::every]:
        with pypdfium2.PdfDocument(file) as document:
            for page in document:
                drawn = page.render(scale=0.2, grayscale=True).to_pil()
                darkest, lightest = drawn.getextrema()
                assert lightest == 255
                assert darkest < 200, f"{file.name}: an empty page"


def test_svgs_refer_to_nothing_outside_and_to_every_id_once(packs: Path) -> None:
    for file in packs.rglob("*.svg"):
        root = etree.parse(file, etree.XMLParser(no_network=True, resolve_entities=False)).getroot()
        ids = root.xpath("//@id")
        assert len(ids) == len(set(ids)), file.name
        for value in root.xpath("//@*[contains(., 'url(')]"):
            assert value.startswith("url(#")
            assert value[5:-1] in ids
        for value in root.xpath("//@*[local-name() = 'href']"):
            assert value.startswith(("data:image/", "#"))
        assert not root.xpath("//*[local-name() = 'script' or local-name() = 'foreignObject']")
