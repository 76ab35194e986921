"""The typefaces' files as fontTools reads them."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont

from guidegen.drawing.font_file import FontFile
from guidegen.drawing.fonts import fallback_face, primary_face

FACES = [primary_face("regular"), primary_face("bold"), fallback_face("regular")]


@pytest.fixture(scope="module", params=FACES, ids=repr)
def both(request):
    return FontFile(request.param.path), TTFont(request.param.path)


def test_every_character_has_its_glyph(both):
    file, font = both
    assert file.characters == {code: font.getGlyphID(name) for code, name in font.getBestCmap().items()}


def test_widths_and_bearings(both):
    file, font = both
    expected = [font["hmtx"][name] for name in font.getGlyphOrder()]
    assert [(advance, (side ^ 0x8000) - 0x8000) for advance, side in file.metrics()] == expected
    assert [file.advance(glyph) for glyph in range(file.glyphs)] == [advance for advance, _ in expected]


def test_where_the_outlines_lie(both):
    file, font = both
    assert file.outlines() == list(font["loca"])


def test_lines_and_letters(both):
    file, font = both
    assert file.units_per_em == font["head"].unitsPerEm
    assert file.metric("ascent") == font["hhea"].ascent
    assert file.metric("descent") == font["hhea"].descent
    assert file.metric("x_height") == font["OS/2"].sxHeight
    assert file.metric("cap_height") == font["OS/2"].sCapHeight


def test_names_that_are_spelt_out(both):
    file, font = both
    spelt, glyphs = file.named(), font.getReverseGlyphMap()
    assert spelt
    assert spelt.items() <= glyphs.items()
