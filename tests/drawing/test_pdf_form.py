"""Form fields seen through pypdf and PDFium."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pytest

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, FormField, Sheet, Text

FIELDS = (
    FormField(20, 20, 80, 8, "owner", value="Zoë Łoś", tooltip="Owner's name"),
    FormField(20, 40, 80, 8, "empty"),
    FormField(20, 60, 80, 30, "notes", value="first\nsecond"),
    FormField(20, 100, 6, 6, "done", "tick", "yes"),
    FormField(40, 100, 6, 6, "not.done", "tick"),
)


@pytest.fixture(scope="module")
def data() -> bytes:
    return write_pdf(Document((Sheet(210, 297, (Text(20, 15, "Sheet", 10), *FIELDS)),)))


def ink(image, field: FormField) -> float:
    """Share of dark pixels in the field's box, at 5 pixels to the millimetre."""
    box = [round(5 * v) for v in (field.x, field.y, field.x + field.width, field.y + field.height)]
    return float((np.asarray(image.crop(box).convert("L")) < 128).mean())


def test_fields_carry_their_names_values_and_tooltips(data):
    fields = pypdf.PdfReader(io.BytesIO(data), strict=True).get_fields()
    assert {name: field.get("/V") for name, field in fields.items()} == {
        "owner": "Zoë Łoś",
        "empty": "",
        "notes": "first\nsecond",
        "done": "/Yes",
        "not-done": "/Off",
    }
    assert fields["owner"]["/TU"] == "Owner's name"
    assert fields["empty"]["/FT"] == "/Tx"
    assert fields["done"]["/FT"] == "/Btn"


def test_values_and_ticks_show(data, rendered):
    image = rendered(data, forms=True)
    owner, empty, notes, done, undone = (ink(image, field) for field in FIELDS)
    assert min(owner, notes, done) > 0.004
    assert empty == undone == 0


def test_what_is_filled_in_shows(data, rendered):
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    writer.update_page_form_field_values(writer.pages[0], {"empty": "Jane Doe"}, auto_regenerate=False)
    out = io.BytesIO()
    writer.write(out)
    assert ink(rendered(out.getvalue(), forms=True), FIELDS[1]) > 0.01


def test_the_font_of_the_fields_is_embedded(data):
    reader = pypdf.PdfReader(io.BytesIO(data))
    resources = reader.root_object["/AcroForm"]["/DR"]["/Font"]
    for font in resources.values():
        assert "/FontFile2" in font.get_object()["/FontDescriptor"]
        assert font.get_object()["/Encoding"] == "/WinAnsiEncoding"
    assert b"Helvetica" not in data
    assert b"ZapfDingbats" not in data


def test_a_name_is_used_once():
    twice = (FIELDS[0], FIELDS[0])
    with pytest.raises(ValueError, match="owner"):
        write_pdf(Document((Sheet(210, 297, twice),)))
