"""What is typed and what is printed, as The Unicode Standard, chapter 6.2, has it (from memory)."""

from __future__ import annotations

from io import BytesIO

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from guidegen.drawing.fonts import primary_face
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, FormField, Sheet, Text
from guidegen.drawing.svg import write_svg
from guidegen.drawing.typography import as_printed

PRINTED = {
    "the driver's door": "the driver’s door",
    "the drivers' seats": "the drivers’ seats",
    "a 1990's van of the '90s": "a 1990’s van of the ’90s",
    'Turn it to "Set 5".': "Turn it to “Set 5”.",
    "the 'left' one (\"right\")": "the ‘left’ one (“right”)",
    "'the driver's door'": "‘the driver’s door’",
    "l'eau d'été": "l’eau d’été",
    'marked "Way': "marked “Way",
    'out" on the plan': "out” on the plan",
    "from 5-10 °C, 12-14V, 2.5-3,5 bar": "from 5–10 °C, 12–14V, 2.5–3,5 bar",
    "wait 5-10\N{NO-BREAK SPACE}minutes": "wait 5–10\N{NO-BREAK SPACE}minutes",
}
LITERAL = [
    "A-123",
    "12-34",
    "00-000 Wzorów",
    "2026-03-14",
    "000-555 0123",
    "a 13-pin plug",
    "EN 1646-1 A",
    "14-12 V",
    "hook-up",
    '6\'2" high, 12" wheels',
    'https://example.org/it\'s?"x"=5-10 m',
    "www.example.org/o'clock",
    "o'neill@example.org",
]


@pytest.mark.parametrize(("typed", "printed"), PRINTED.items())
def test_marks_are_curled_and_ranges_have_their_dash(typed, printed):
    assert as_printed(typed) == printed
    assert as_printed(printed) == printed


@pytest.mark.parametrize("text", LITERAL)
def test_what_is_no_prose_stays_to_the_letter(text):
    assert as_printed(text) == text


@given(st.text("ab 5'\"-°C.(\N{NO-BREAK SPACE}é", max_size=40))
def test_only_marks_change_and_what_is_printed_is_settled(text):
    printed = as_printed(text)
    plain = str.maketrans("’‘“”–", "''\"\"-")
    assert printed.translate(plain) == text
    assert as_printed(printed).translate(plain) == text


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_the_typeface_has_all_marks(weight):
    assert all(map(primary_face(weight).has, "’‘“”–"))


def test_paper_and_drawing_show_it_but_forms_give_back_what_was_typed():
    field = FormField(10, 30, 50, 6, "driver's", value="driver's door")
    sheet = Sheet(100, 60, (Text(10, 20, "the driver's door", 10), field), "A driver's sheet")
    reader = pypdf.PdfReader(BytesIO(write_pdf(Document((sheet,)))))
    assert "the driver’s door" in reader.pages[0].extract_text()
    (read,) = reader.get_fields().values()
    assert (read["/T"], read["/V"]) == ("driver's", "driver's door")
    assert 'aria-label="the driver’s door"' in write_svg(sheet)
