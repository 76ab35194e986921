"""Descriptions that mean harm, or look as if: nothing leaks, nothing runs, and every refusal says where."""

from __future__ import annotations

import os
import struct
import time
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pypdf
import pypdfium2
import pytest
import yaml

from guidegen import Report, build, inspect
from guidegen.documents.registry import DOCUMENTS
from guidegen.drawing.logos import prepare_logo
from guidegen.errors import GuidegenError
from guidegen.vehicle.source import read_source

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
PIXEL = (
    b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
    b"\x00\x00\x00\rIDATx\x9cc\xf8\xcf\xc0\xf0\x1f\x00\x05\x00\x01\xff\x89\x99=\x1d\x00\x00\x00\x00IEND\xaeB`\x82"
)
SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9"'
SHAPE = '<rect width="9" height="9" fill="#123456"/>'


def described(folder: Path, **changes: Any) -> Path:
    """Alder with some keys changed, in a folder of its own."""
    folder.mkdir(exist_ok=True)
    data = {**read_source(SAMPLES / "alder.yaml").data, "photo": None, "dealer": {"name": "Dealer"}}
    for point in data["points"]:
        point.pop("photo", None)
    file = folder / "alder.yaml"
    file.write_text(yaml.safe_dump(data | changes, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return file


def errors(file: Path) -> dict[str, str]:
    """Rule → the line that it points at."""
    lines = file.read_text().splitlines()
    found = [f for f in inspect(file).findings if f.severity == "error"]
    assert all(f.mark.file == str(file) and f.mark.line and f.mark.column and f.message for f in found)
    return {f.rule: lines[f.mark.line - 1] for f in found}


# Names that lead elsewhere


@pytest.mark.parametrize(
    "name",
    [
        "../secret.png",
        "inside/../../secret.png",
        "/etc/secret.png",
        "link.png",
        "linked/secret.png",
        "circle.png",
        "a\0b.png",
        "é" * 200 + ".png"[:0],
        "ö" * 190 + ".png",
        "folder.png",
        "pipe.png",
        "../vehicle/../secret.png",
        "file:///etc/secret.png",
        "https://example.com/secret.png",
        "..\\secret.png",
        "C:\\secret.png",
        "\\\\server\\share\\secret.png",
        "NUL.png",
    ],
)
def test_pictures_come_from_the_vehicles_own_folder(name: str, tmp_path: Path) -> None:
    (tmp_path / "secret.png").write_bytes(PIXEL)
    folder = tmp_path / "vehicle"
    folder.mkdir()
    (folder / "link.png").symlink_to(tmp_path / "secret.png")
    (folder / "linked").symlink_to(tmp_path, target_is_directory=True)
    (folder / "circle.png").symlink_to(folder / "circle.png")
    (folder / "folder.png").mkdir()
    if hasattr(os, "mkfifo"):
        os.mkfifo(folder / "pipe.png")
    points = read_source(SAMPLES / "alder.yaml").data["points"]
    changes = {
        "photo": name,
        "dealer": {"name": "Dealer", "logo": name},
        "points": [points[0] | {"photo": name}, *points[1:]],
    }
    review = inspect(described(folder, **changes))
    assert not review.readable
    assert len({f.mark for f in review.findings if f.rule != "character-undrawable"}) == 3
    assert {f.rule for f in review.findings} <= {"file-outside", "file-missing", "file-kind", "value"}
    assert all(f.mark.line and f.mark.column for f in review.findings)


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "/etc/passwd", "..", ".", "", "a/../van-short", "van-short\0"]
)
def test_layouts_are_those_shipped(name: str, tmp_path: Path) -> None:
    assert errors(described(tmp_path / "v", layout=name)).keys() <= {"layout", "character-undrawable"}


@pytest.mark.parametrize(
    "id", ["../x", "/etc/x", "a/b", "..", "a\\b", "A", "a\n", "a\0", "", "é", "x" * 61, "-a"]
)
def test_the_id_that_names_the_pack_is_plain(id: str, tmp_path: Path) -> None:
    file = described(tmp_path / "v", id=id)
    report = build(file, tmp_path / "out")
    assert report.exit_code == 2
    assert not (tmp_path / "out").exists()


# Addresses


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        "JAVASCRIPT:alert(1)",
        "file:///etc/passwd",
        "data:text/html,<script>",
        "ftp://example.com/",
        "mailto:a@example.com",
        "//example.com",
        "https:// example.com",
        "http://a\tb",
        "https://",
        "https:///path",
        "http://[::1",
        "http://example.com:99999/",
        'https://example.com/"onclick="x',
        "https://example.com/\u202egnp.exe",
        "https://example.com/\x00",
        "https://example.com/" + "a" * 400,
    ],
)
def test_only_web_addresses_are_taken(address: str, tmp_path: Path) -> None:
    points = read_source(SAMPLES / "alder.yaml").data["points"]
    step = {"id": "own", "sequence": "arrive", "text": "Look.", "web": address}
    file = described(
        tmp_path / "v",
        web=address,
        dealer={"name": "Dealer", "web": address},
        points=[points[0] | {"web": address}, *points[1:]],
        extra_steps=[step],
    )
    found = [f for f in inspect(file).findings if f.rule == "value"]
    lines = file.read_text().splitlines()
    assert len({f.mark for f in found}) == 4
    assert all(f.severity == "error" and "web:" in lines[f.mark.line - 1] for f in found)


# Texts

MARKUP = """Smith & Sons' <b>"Best"</b> ]]> --> <script>x</script> &lt;br/> (a) )( \\) \\n %s {0} ${x} $(id) `id`"""
PRINTED = MARKUP.replace("Sons'", "Sons’").replace('"Best"', "“Best”")  # its marks as a printer sets them


@pytest.fixture(scope="module")
def marked_up(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """A pack of which every text is hostile to some format."""
    folder = tmp_path_factory.mktemp("marked-up")
    data = read_source(SAMPLES / "alder.yaml").data
    step = {
        "id": "own",
        "sequence": "arrive",
        "text": MARKUP,
        "check": MARKUP,
        "web": "https://example.com/?a=(1)&b=\\)",
    }
    for point in data["points"][::4]:
        point |= {"name": MARKUP, "note": MARKUP}
    file = described(
        folder / "v",
        name=MARKUP,
        owner=MARKUP,
        stock_number=MARKUP,
        web="https://example.com/?q=<i>&r=(/URI)"[:23],
        dealer={
            "name": MARKUP,
            "logo": "logo.svg",
            "phone": MARKUP,
            "address": MARKUP,
            "emergency": {MARKUP: MARKUP},
        },
        points=data["points"],
        extra_steps=[step],
    )
    (file.parent / "logo.svg").write_text(
        f'{SVG} onload="steal()"><script>steal()</script><a xlink:href="javascript:steal()">{SHAPE}</a></svg>'
    )
    documents = DOCUMENTS.keys() - {"booklet", "training"}  # the guide's pages again, and the plan's
    return build(file, folder / "out", only=documents)


def test_markup_is_printed_as_it_is_written(marked_up: Report) -> None:
    assert not marked_up.failed, marked_up
    assert marked_up.folder
    wanted = "".join(PRINTED.split())
    for file in marked_up.folder.glob("*.pdf"):
        with pypdfium2.PdfDocument(file) as document:
            assert document.get_metadata_value("Title").endswith(PRINTED), file.name
            text = "".join(page.get_textpage().get_text_bounded() for page in document)
        assert wanted in "".join(text.replace("\ufffe", "").split()), file.name


def test_markup_does_not_become_elements_of_svg(marked_up: Report) -> None:
    assert marked_up.folder
    for file in marked_up.folder.glob("*.svg"):
        root = ElementTree.parse(file).getroot()
        tags = {element.tag.partition("}")[2] for element in root.iter()}
        assert tags <= {
            "svg",
            "g",
            "path",
            "circle",
            "rect",
            "polyline",
            "polygon",
            "defs",
            "clipPath",
            "title",
            "desc",
            "image",
        }
        assert PRINTED in "".join(root.itertext())


def test_nothing_in_a_pdf_acts(marked_up: Report) -> None:
    """No script, launch or submission; links lead inside or to the web (ISO 32000-1, 12.6.4)."""
    assert marked_up.folder
    for file in marked_up.folder.glob("*.pdf"):
        reader = pypdf.PdfReader(file)
        actions = list(
            objects_with(reader, "/S", {"/JavaScript", "/Launch", "/SubmitForm", "/ImportData", "/GoToR"})
        )
        assert actions == [], file.name
        names = {key for thing in dictionaries(reader) for key in thing}
        assert not names & {"/JS", "/AA", "/EmbeddedFiles", "/RichMedia", "/XFA"}, file.name
        for thing in objects_with(reader, "/S", {"/URI"}):
            assert str(thing["/URI"]).startswith(("http://", "https://"))


def dictionaries(reader: pypdf.PdfReader) -> Iterator[pypdf.generic.DictionaryObject]:
    """Every dictionary of the file, those of streams and those within others too."""
    for number in range(1, int(reader.trailer["/Size"])):
        try:
            thing = reader.get_object(pypdf.generic.IndirectObject(number, 0, reader))
        except pypdf.errors.PdfReadError:
            continue
        waiting = [thing]
        while waiting:
            thing = waiting.pop()
            if isinstance(thing, pypdf.generic.DictionaryObject):
                yield thing
                waiting += thing.values()
            elif isinstance(thing, pypdf.generic.ArrayObject):
                waiting += thing


def objects_with(
    reader: pypdf.PdfReader, key: str, values: set[str]
) -> Iterator[pypdf.generic.DictionaryObject]:
    return (d for d in dictionaries(reader) if d.get(key) in values)


@pytest.mark.parametrize(
    ("text", "character", "code"),
    [
        ("Emoji 🚐 van", "🚐", "U+1F690"),
        ("名前", "名", "U+540D"),
        ("abc \u202etxt", "\u202e", "U+202E"),
        ("one \u200ftwo", "\u200f", "U+200F"),
        ("x\u0302\u0303", "x\u0302", "U+0302"),
        ("شاحنة", "ش", "U+0634"),
        ("\ue000private", "\ue000", "U+E000"),
        ("\ufffd", "\ufffd", "U+FFFD"),
    ],
)
def test_a_character_nobody_can_draw_is_shown_where_it_stands(
    text: str, character: str, code: str, tmp_path: Path
) -> None:
    file = described(tmp_path / "v", owner=text)
    (finding,) = (f for f in inspect(file).findings if f.severity == "error")
    assert finding.rule == "character-undrawable"
    assert code in finding.message
    line = file.read_text(encoding="utf-8").splitlines()[finding.mark.line - 1]
    assert line.startswith("owner:")
    if character in line:  # else the file holds it as an escape
        assert line[finding.mark.column - 1 :].startswith(character[-1])
    assert build(file, tmp_path / "out").exit_code == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "name",
    [
        "Frischwassertankentleerungsventilabdeckungsschraubenschlüssel",
        "W" * 60,
        "i" * 200,
        "word " * 39 + "word",
        "Zero\u200bwidth\u00adand\u2060joiner",
        "Cafe\u0301 re\u0301sume\u0301",
        "Δοχείο καθαρού νερού",
        "Кран слива чистой воды",
    ],
)
def test_any_name_is_printed_or_refused_plainly(name: str, tmp_path: Path) -> None:
    data = read_source(SAMPLES / "hazel.yaml").data
    for point in data["points"][:3]:
        point["name"] = name
    file = tmp_path / "hazel.yaml"
    data = data | {
        "name": name,
        "dealer": {"name": name},
        "photo": None,
        "points": [{**p, "photo": None} for p in data["points"]],
    }
    file.write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    report = build(file, tmp_path / "out", only=["card"])
    assert report.exit_code in (0, 1), report.message
    if report.failed:
        assert "too large" in report.message or "does not fit" in report.message
        assert not (tmp_path / "out").exists()


# Pictures


def png_header(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds next to nothing (ISO/IEC 15948)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("bomb.png", png_header(60_000, 60_000)),
        ("wide.png", png_header(2_000_000, 50)),
        ("short.png", png_header(3000, 3000)),
        ("none.png", png_header(0, 0)),
        ("text.png", b"just text"),
        ("empty.png", b""),
        ("other.jpg", b"GIF89a" + bytes(100)),
        ("script.jpg", b"%!PS-Adobe-3.0 EPSF-3.0\n(id) system\n"),
        ("laughs.svg", f'<!DOCTYPE svg [<!ENTITY a "x"><!ENTITY b "{"&a;" * 99}">]>{SVG}>&b;</svg>'.encode()),
        ("outside.svg", f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{SVG}>&a;</svg>'.encode()),
        ("image.svg", f'{SVG}><image xlink:href="file:///etc/passwd" width="9" height="9"/></svg>'.encode()),
        ("clone.svg", f'{SVG}><use xlink:href="https://example.com/x.svg#a"/></svg>'.encode()),
        ("style.svg", f"{SVG}><style>@import url(https://example.com/x.css);</style>{SHAPE}</svg>".encode()),
        ("deep.svg", f"{SVG}>{'<g>' * 20_000}{'</g>' * 20_000}</svg>".encode()),
        ("huge.svg", f'{SVG[:-1]} width="1e308"><path d="M0 0L1e308 1e308Z"/></svg>'.encode()),
        ("far.svg", f'{SVG}><g transform="scale(1e300)">{SHAPE}</g></svg>'.encode()),
        ("many.svg", f'{SVG}><path d="M0 0{"l1 1" * 101_000}"/></svg>'.encode()),
    ],
)
def test_pictures_that_mean_harm_are_refused_in_no_time(name: str, content: bytes, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    start = time.process_time()
    with pytest.raises(GuidegenError, match=name):
        prepare_logo(path, 60, 20)
    assert time.process_time() - start < 5


def test_what_a_logo_carries_along_is_left_behind(marked_up: Report) -> None:
    assert marked_up.folder
    files = [file for file in marked_up.folder.iterdir() if file.is_file()]
    assert len(files) > 5
    for file in files:
        assert b"steal" not in file.read_bytes()


# Size


@pytest.mark.parametrize(
    "text",
    [
        "id: a\nname: " + "n" * 990_000,
        "x" * 500_000 + ": 1\n",
        "".join(f"key-{n}: 1\n" for n in range(60_000)),
        "points:\n" + "- {kind: pump-switch, x: 1 m, y: 1 m}\n" * 25_000,
        "layout_changes: {furniture: {add: {" + ", ".join(f"f{n}: {{x: 1}}" for n in range(40_000)) + "}}}",
        "equipment: {" + ", ".join(f"e{n}: yes" for n in range(60_000)) + "}",
        "owner: " + "名" * 300_000,
        "owner: [" + "a, " * 300_000 + "]",
        "a: &a [x, x]\nb: [" + "*a, " * 200_000 + "]",
        "{" * 19 + "a: " * 300_000,
    ],
    ids=["name", "key", "keys", "points", "pieces", "equipment", "characters", "list", "aliases", "braces"],
)
def test_large_files_are_refused_in_no_time(text: str, tmp_path: Path) -> None:
    file = tmp_path / "large.yaml"
    file.write_text(text)
    start = time.process_time()
    review = inspect(file)
    assert time.process_time() - start < 5
    assert not review.readable
    assert review.findings


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="POSIX")
def test_a_file_without_end_is_refused(tmp_path: Path, guidegen) -> None:  # type: ignore[no-untyped-def]
    for command in (["check", "/dev/zero"], ["build", "/dev/zero", "-o", tmp_path / "out"]):
        done = guidegen(*command)
        assert done.returncode == 2
        assert "larger than" in done.stdout + done.stderr


def test_nothing_in_a_file_speaks_to_the_terminal(tmp_path: Path, guidegen) -> None:  # type: ignore[no-untyped-def]
    evil = "\\e]0;title\\a\\e[2J\\u202e\\u0085"
    file = tmp_path / "evil.yaml"
    file.write_text(
        f'id: "{evil}"\nname: "{evil}"\nkind: "{evil}"\nlayout: "{evil}"\n"{evil}": 1\nweb: "{evil}"\n'
        f'photo: "{evil}"\nsizes: {{length: "{evil}"}}\npoints: [{{kind: "{evil}", grid: "{evil}", in: "{evil}"}}]\n'
    )
    done = guidegen("check", file)
    assert done.returncode == 2
    assert all(c.isprintable() or c == "\n" for c in done.stdout + done.stderr)
