"""Pictograms: all readable, one family, drawn alike by an independent renderer, distinct at 5 mm."""

from __future__ import annotations

import io
import math
from functools import cache
from itertools import combinations

import cairosvg
import numpy as np
import pytest
from PIL import Image

from guidegen.drawing.primitives import BLACK, WHITE, Circle, Line, Path, Rect, Sheet
from guidegen.drawing.svg import write_svg
from guidegen.drawing.symbols import GRID, read_shapes, symbol, symbol_names, symbol_shapes, symbol_title
from guidegen.errors import GuidegenError
from guidegen.resources import data_folder

# Signs after ISO 7010 carry its reference as their name: a letter of the category and three digits.
SIGNS = tuple(name for name in symbol_names() if len(name) == 4 and name[1:].isdigit())
PICTOGRAMS = tuple(name for name in symbol_names() if name not in SIGNS)
# ISO 3864-1 safety colours, ground and contrast, as this project writes them.
SIGN_COLOURS = {"w": {"#f9a800", BLACK}, "e": {"#237f52", WHITE}, "f": {"#b5231f", WHITE}}
SIGN_COLOURS |= {"m": {"#005387", WHITE}, "p": {"#b5231f", WHITE, BLACK}}


@cache
def greys(name: str, size_mm: float = GRID, border_mm: float = 3.0, dpi: float = 127.0) -> np.ndarray:
    """Darkness 0 to 1 of the symbol with a border about it, rendered from our primitives."""
    edge = size_mm + 2 * border_mm
    drawing = write_svg(Sheet(edge, edge, (symbol(name, border_mm, border_mm, size_mm),)))
    pixels = round(edge / 25.4 * dpi)
    return darkness(cairosvg.svg2png(drawing.encode(), output_width=pixels, output_height=pixels))


def darkness(png: bytes) -> np.ndarray:
    image = Image.open(io.BytesIO(png)).convert("RGBA")
    on_white = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return 1 - np.asarray(on_white.convert("L"), dtype=float) / 255


@pytest.mark.parametrize("name", symbol_names())
def test_the_primitives_look_as_a_browser_would_show_the_file(name: str) -> None:
    # CairoSVG reads the file itself and is the judge of our reading of paths, arcs and inheritance.
    file = data_folder("symbols") / f"{name}.svg"
    theirs = darkness(cairosvg.svg2png(url=str(file), output_width=120, output_height=120))
    ours = greys(name, size_mm=24.0, border_mm=0.0)
    assert ours.shape == theirs.shape
    assert np.abs(ours - theirs).mean() < 0.004


@pytest.mark.parametrize("name", symbol_names())
def test_a_symbol_keeps_its_margin_on_the_grid(name: str) -> None:
    rows, columns = np.nonzero(greys(name) > 0.3)
    units = 30.0 / greys(name).shape[0]
    box = [end * units - 3.0 for end in (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)]
    margin = 0.9 if name in SIGNS else 1.8  # two units, less the raster's own step of a fifth
    assert min(box[:2]) >= margin and max(box[2:]) <= GRID - margin
    assert max(box[2] - box[0], box[3] - box[1]) >= 16, "as large to the eye as the rest of the family"


@pytest.mark.parametrize("name", PICTOGRAMS)
def test_pictograms_are_one_family_of_strokes(name: str) -> None:
    for shape in symbol_shapes(name):
        assert shape.style.stroke in (None, BLACK) and shape.style.fill in (None, BLACK)
        assert shape.style.stroke is None or 1.5 <= shape.style.width_mm <= 2.0
        assert shape.style.round_ends


@pytest.mark.parametrize("name", SIGNS)
def test_signs_have_the_colours_of_their_category_and_a_title(name: str) -> None:
    used = {paint for s in symbol_shapes(name) for paint in (s.style.fill, s.style.stroke) if paint}
    assert used == SIGN_COLOURS[name[0]]
    assert symbol_title(name)
    assert symbol(name, 0, 0, 10).title == symbol_title(name)


@pytest.mark.parametrize("name", PICTOGRAMS)
def test_ink_at_five_millimetres_is_neither_a_hair_nor_a_blot(name: str) -> None:
    share = float(greys(name, 5.0, 0.0, 200.0).mean())
    assert 0.10 <= share <= 0.45


# Share of the square that differs: what sets a filler apart from a drain is over a third.
NOTICEABLE, NOTICEABLE_MARK = 0.10, 0.05
# One base, told apart by a mark on purpose: a knob, a switch, a toilet, a battery.
SAME_BASE = (
    {"blown-air-control", "fridge-control", "heater-control"},
    {"water-heater-gas-switch", "water-heater-mains-switch"},
    {"toilet-flush", "toilet-vent-fan"},
    {"leisure-battery", "vehicle-battery"},
)


def difference(a: str, b: str) -> float:
    """Share of the square that differs between two symbols at 5 mm and 200 dpi."""
    return float(np.abs(greys(a, 5.0, 0.0, 200.0) - greys(b, 5.0, 0.0, 200.0)).mean())


@pytest.mark.parametrize(
    "a, b", [*combinations(("fresh-filler", "fresh-drain", "isolation-valve", "tap-valve"), 2)]
)
def test_filler_drain_valve_and_tap_are_told_apart_at_once(a: str, b: str) -> None:
    assert difference(a, b) > 0.2


def test_no_two_pictograms_look_alike_at_five_millimetres() -> None:
    alike = []
    for a, b in combinations(PICTOGRAMS, 2):
        least = NOTICEABLE_MARK if any({a, b} <= base for base in SAME_BASE) else NOTICEABLE
        if (found := difference(a, b)) < least:
            alike.append((a, b, round(found, 3)))
    assert alike == []


def test_black_takes_the_colour_asked_for_and_white_stays() -> None:
    painted = symbol("e016", 0, 0, 5, "#123456").items
    assert any(item.style.fill == WHITE for item in painted if not hasattr(item, "items"))
    tinted = symbol("pump", 0, 0, 5, "#123456").items
    paints = {p for s in tinted for p in (s.style.fill, s.style.stroke) if p}  # type: ignore[union-attr]
    assert paints == {"#123456"}


def test_a_symbol_fills_its_square_and_its_strokes_scale_with_it() -> None:
    group = symbol("pump", 10, 20, 12)
    assert group.transform == (0.5, 0.0, 0.0, 0.5, 10, 20)


def test_an_unknown_symbol_is_said_to_the_user() -> None:
    with pytest.raises(GuidegenError, match="no symbol “teapot”"):
        symbol("teapot", 0, 0, 5)


def svg(inside: str, root: str = 'viewBox="0 0 24 24"') -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {root}>{inside}</svg>'


def test_shapes_are_read_with_what_groups_hand_down() -> None:
    group = '<g fill="none" stroke="black" stroke-width="2">{}</g>'
    inside = (
        '<path d="M1 2h3a2 2 0 0 1 2 2z"/><circle cx="5" cy="6" r="3" fill="#ff0000" stroke="none"/>'
        '<rect x="1" y="2" width="3" height="4" rx="1"/><line x1="1" y1="2" x2="3" y2="4"/>'
        '<polygon points="0,0 4,0 4,4"/>'
    )
    path, circle, rect, line, polygon = read_shapes(svg(group.format(inside)))
    assert isinstance(path, Path) and [c[0] for c in path.commands] == ["M", "L", "C", "L", "Z"]
    arc = path.commands[2]
    assert arc[-2:] == pytest.approx((6, 4))
    # A quarter circle as one cubic: control distance 4/3·tan(π/8) of the radius.
    assert arc[1:3] == pytest.approx((4 + 2 * 4 / 3 * math.tan(math.pi / 8), 2))
    assert isinstance(circle, Circle) and (circle.style.fill, circle.style.stroke) == ("#ff0000", None)
    assert isinstance(rect, Rect) and rect.radius == 1 and rect.style.width_mm == 2
    assert isinstance(line, Line) and not line.closed and line.points == ((1, 2), (3, 4))
    assert isinstance(polygon, Line) and polygon.closed


@pytest.mark.parametrize(
    "text",
    [
        '<!DOCTYPE svg [<!ENTITY a "b">]>' + svg(""),
        svg("", 'viewBox="0 0 32 32"'),
        svg('<text x="1" y="1">a</text>'),
        svg("<script>alert(1)</script>"),
        svg('<image href="a.png"/>'),
        svg('<path d="M0 0L1 1" transform="scale(2)"/>'),
        svg('<path d="M0 0L1 1" style="fill:red"/>'),
        svg('<path d="M0 0L1 1" fill="red"/>'),
        svg('<path d="M0 0Q1 1 2 2"/>'),
    ],
)
def test_what_is_not_in_our_part_of_svg_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_shapes(text)
