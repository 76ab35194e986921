"""Characters that nobody can draw are found in every printed text, at their own line and column."""

from __future__ import annotations

import pytest

from guidegen.drawing.fonts import _face_for, undrawable
from guidegen.vehicle.source import parse_source
from guidegen.vehicle.texts import unprintable


def places(text: str) -> list[tuple[int, int]]:
    return [(f.mark.line, f.mark.column) for f in unprintable(parse_source(text.encode(), "v"), undrawable)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("name: Größe – 5 m² 12 €\n", []),
        ("name: van 名\n", [(1, 11)]),
        ('name: "van 名"\n', [(1, 12)]),
        ("name: >\n  one\n  two 名\n", [(3, 7)]),
        ("name: |\n  one\n  two\n", []),
        ("points:\n- {name: 🚐, note: ok}\n- {name: b, note: a 🚐}\n", [(2, 10), (3, 21)]),
        ("dealer:\n  emergency: {ring 名: '12 🚐'}\n", [(2, 20), (2, 27)]),
        ("checks: {first: {readings: {名: 1}}}\n", [(1, 29)]),
        ('a: "\\u540d"\nb: 名\n', [(1, 4), (2, 4)]),  # an escape is shown at the start of its value
        ("photo: 名.jpg\ndealer: {logo: 名.svg}\n", []),  # names of files are not printed
        ("# 名 in a comment\nname: a\n", []),
        ("a: x\r\nb: 名\r\n", [(2, 4)]),
    ],
)
def test_where(text: str, expected: list[tuple[int, int]]) -> None:
    assert places(text) == expected


def test_several_are_named_together_and_many_counted() -> None:
    (finding,) = unprintable(parse_source("name: 一二三四五六七\n".encode(), "v"), undrawable)
    assert finding.severity == "error"
    assert "U+4E00" in finding.message
    assert "and 2 more" in finding.message


def test_characters_taken_as_drawable_unseen_are_so_in_both_weights() -> None:
    from guidegen.drawing import fonts

    seen = [chr(c) for c in range(0x3000) if fonts._SURELY_DRAWN.fullmatch(chr(c))]
    assert len(seen) > 500
    for character in fonts.normalise("".join(seen)):
        assert _face_for(character, "regular")
        assert _face_for(character, "bold")
