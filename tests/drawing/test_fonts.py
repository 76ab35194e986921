"""Widths and heights against FreeType (through Pillow), which reads the same font files its own way."""

from __future__ import annotations

import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from guidegen.drawing import fonts
from guidegen.drawing.fonts import Face, MissingGlyph, fallback_face, runs, text_width_mm, undrawable
from guidegen.errors import GuidegenError

SIZE = 1000  # pixels to the em, so that FreeType's rounding is a thousandth
LETTERS = "Open the gas cylinder, then wait: žluťoučký kůň"


def freetype_width_mm(text: str, size_pt: float, face: fonts.Face) -> float:
    font = ImageFont.truetype(str(face.path), SIZE, layout_engine=ImageFont.Layout.BASIC)
    if face.variation:
        font.set_variation_by_axes([700, 100])
    return sum(font.getlength(c) for c in text) / SIZE * size_pt * 25.4 / 72


@pytest.mark.parametrize("weight", ["regular", "bold"])
@pytest.mark.parametrize("text", [LETTERS, "Γάζι, νερό", "вода, газ"])
def test_the_width_is_that_of_the_font_file(text, weight):
    expected = sum(freetype_width_mm(part, 10, face) for face, part in runs(text, weight))
    assert text_width_mm(text, 10, weight) == pytest.approx(expected, rel=0.002)


@pytest.mark.parametrize(
    "space", [" ", "\N{NO-BREAK SPACE}", "\N{EN SPACE}", "\N{EM SPACE}", "\N{THIN SPACE}"]
)
def test_a_space_of_the_second_typeface_is_as_wide_in_bold_as_its_file_says(space):
    """Spaces are measured without the machinery of variable fonts, as they are alike in every weight."""
    face = fonts.fallback_face("bold")
    expected = freetype_width_mm(space, 10, face)
    assert face.advance(space) * 10 / 1000 * 25.4 / 72 == pytest.approx(expected, rel=0.003)


def test_the_width_grows_with_the_size():
    assert text_width_mm(LETTERS, 24) == pytest.approx(2.4 * text_width_mm(LETTERS, 10))


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_figures_stand_under_each_other(weight):
    assert len({text_width_mm(figure, 10, weight) for figure in "0123456789"}) == 1


def test_heights_are_those_of_the_letters():
    font = ImageFont.truetype(str(fonts.primary_face("regular").path), SIZE)
    _, top, _, foot = font.getbbox("H", anchor="ls")
    assert foot == 0
    assert fonts.cap_height_mm(72 / 25.4) == pytest.approx(-top / SIZE, abs=0.003)
    ascent, descent = font.getmetrics()
    assert fonts.ascent_mm(72 / 25.4) == pytest.approx(ascent / SIZE, abs=0.002)
    assert fonts.descent_mm(72 / 25.4) == pytest.approx(descent / SIZE, abs=0.002)


@pytest.mark.parametrize(
    "text", ["Zażółć gęślą jaźń", "Příliš žluťoučký kůň", "Ærøskøbing – 20 °C ± 2 ≤ ½ €"]
)
def test_one_typeface_sets_polish_czech_nordic_and_signs(text):
    assert [(face.name, part) for face, part in runs(text)] == [("AtkinsonHyperlegible-Regular", text)]


def test_greek_and_cyrillic_come_from_the_second_typeface():
    names = [face.name for face, _ in runs("Gas газ", "bold")]
    assert names == ["AtkinsonHyperlegible-Bold", "NotoSans-Bold"]


def test_composed_and_decomposed_letters_are_one():
    assert runs("e\N{COMBINING ACUTE ACCENT}") == runs("é")
    assert text_width_mm("e\N{COMBINING ACUTE ACCENT}", 10) == text_width_mm("é", 10)


def test_what_only_line_breaking_needs_is_not_drawn():
    assert runs("hook\N{NON-BREAKING HYPHEN}up\N{SOFT HYPHEN}s") == runs("hook-ups")


@pytest.mark.parametrize("bad", ["✓", "→", "水", "न", "\t", "\n", "\x00", "x\N{COMBINING CARON}"[1]])
def test_a_character_nobody_can_draw_is_named(bad):
    text = f"a{bad}b{bad}"
    assert undrawable(text) == bad
    with pytest.raises(MissingGlyph) as caught:
        runs(text)
    assert isinstance(caught.value, GuidegenError)
    assert f"U+{ord(bad):04X}" in str(caught.value)
    assert repr(text) in str(caught.value)


@given(st.text(max_size=20))
def test_a_text_is_drawable_or_refused(text):
    """No text gives a box: what runs() takes has a glyph for each character of the normal form."""
    if undrawable(text):
        with pytest.raises(MissingGlyph):
            runs(text)
        return
    stretches = runs(text)
    assert "".join(part for _, part in stretches) == fonts.normalise(text)
    assert all(face.glyph_id(c) > 0 for face, part in stretches for c in part)
    assert text_width_mm(text, 10) >= 0


def test_glyphs_that_go_by_numbers_are_those_that_the_file_names():
    """Of the second typeface, drawn bold: as fontTools finds them by their names."""
    numbered = fallback_face("bold")
    named = Face("named", numbered.path, numbered.variation)
    assert set(numbered.characters) == set(named.characters)
    for character in map(chr, sorted(named.characters)[::60]):
        assert numbered.advance(character) == named.advance(character)
        assert numbered.glyph_id(character) == named.glyph_id(character)
        drawn = [DecomposingRecordingPen(face.glyphs) for face in (numbered, named)]
        numbered.draw(character, drawn[0])
        named.draw(character, drawn[1])
        assert drawn[0].value == drawn[1].value
