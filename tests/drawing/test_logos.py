"""Logos: the same picture as an SVG renderer draws, and nothing but shapes."""

from __future__ import annotations

import time

import cairosvg
import pytest
from PIL import Image

from guidegen.drawing.logos import prepare_logo
from guidegen.drawing.png import write_png
from guidegen.drawing.primitives import Path, Picture, Sheet
from guidegen.errors import GuidegenError

SVG = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
SHAPES = f"""<?xml version="1.0" encoding="UTF-8"?>
<svg {SVG} viewBox="-5 -5 210 110">
<style>.accent{{fill:#ff8800}}</style>
<g transform="rotate(5) translate(20 5)" style="fill:navy;stroke:#000;stroke-width:3">
<path d="M10 10h40a20 20 0 0 1 20 20q0 30-30 20t-30 10z"/>
<circle class="accent" cx="120" cy="40" r="25"/>
<ellipse cx="160" cy="60" rx="12" ry="20" stroke="none" fill="rgb(10,140,60)" transform="skewX(10)"/>
<rect x="20" y="60" width="60" height="20" rx="8" fill="none"/>
<polygon points="90,80 110,80 100,60" fill-rule="evenodd"/>
</g>
<path d="M0 0H30V30H0ZM8 8H22V22H8Z" fill="#a00" fill-rule="evenodd"/>
<line x1="0" y1="95" x2="200" y2="95" stroke="#333" stroke-width="2"/>
</svg>"""


@pytest.fixture
def logo(tmp_path):
    def write(text: str | bytes, name: str = "logo.svg"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return prepare_logo(path, 60, 60)

    return write


def test_the_same_picture_as_another_renderer_draws(logo, opened_png, unlike):
    ours = logo(SHAPES)
    assert (ours.width_mm, ours.height_mm) == pytest.approx((60, 60 * 110 / 210))
    drawn = opened_png(write_png(Sheet(ours.width_mm, ours.height_mm, (ours.item,)), 127))
    data = cairosvg.svg2png(
        SHAPES.encode(), output_width=drawn.width, output_height=drawn.height, background_color="white"
    )
    theirs = opened_png(data)
    assert unlike(drawn, theirs) < 0.001
    assert unlike(theirs, drawn) < 0.001
    assert unlike(theirs, theirs.transpose(Image.Transpose.FLIP_LEFT_RIGHT)) > 0.01


def test_scripts_links_and_foreign_things_are_left_behind(logo):
    inner = '<rect width="10" height="10"/>'
    hostile = (
        f'<svg {SVG} viewBox="0 0 10 10" onload="alert(1)"><script>alert(2)</script><title>x</title>'
        f'<metadata><x xmlns="urn:y">z</x></metadata><a xlink:href="javascript:alert(3)">{inner}</a>'
        '<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">p</p></foreignObject></svg>'
    )
    items = logo(hostile).item.items
    assert len(items) == 1
    assert isinstance(items[0], Path)


@pytest.mark.parametrize(
    "bad",
    [
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg {svg}><desc>&x;</desc></svg>',
        '<!DOCTYPE svg [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]><svg {svg}><desc>&b;</desc></svg>',
        '<svg {svg} viewBox="0 0 9 9"><text x="1" y="5">Name</text></svg>',
        '<svg {svg} viewBox="0 0 9 9"><image xlink:href="file:///etc/passwd" width="9" height="9"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect id="r" width="9" height="9"/><use xlink:href="#r"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect fill="url(#g)" width="9" height="9"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><style>rect{{fill:url(http://a.org/)}}</style><rect/></svg>',
        '<svg {svg} viewBox="0 0 9 9"></svg>',
        '<svg {svg} viewBox="0 0 0 0"><rect width="9" height="9"/></svg>',
        '<svg {svg} viewBox="a b"><path d="M0 0 L nonsense"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect width="9" height="9" transform="matrix(1 2 3)"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect width="9" height="9" opacity="0.5"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect width="9" height="9" style="opacity: .5"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><path d="M0 0H9" stroke="red" stroke-dasharray="1 2"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><rect width="9" height="9" visibility="hidden"/></svg>',
        '<svg {svg} viewBox="0 0 9 9"><svg><rect width="9" height="9"/></svg></svg>',
        "<html/>",
        "no xml",
        "",
    ],
)
def test_what_cannot_be_drawn_safely_is_refused(bad, logo):
    with pytest.raises(GuidegenError, match="logo"):
        logo(bad.format(svg=SVG))


def test_paint_that_says_what_is_drawn_anyway_does_no_harm(logo):
    shape = '<rect width="9" height="9" opacity="1" style="stroke-dasharray:none;visibility: visible"/>'
    assert len(logo(f'<svg {SVG} viewBox="0 0 9 9">{shape}</svg>').item.items) == 1


def test_a_document_type_alone_does_no_harm(logo):
    public = (
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    )
    assert logo(f'{public}<svg {SVG} viewBox="0 0 9 9"><rect width="9" height="9"/></svg>').item.items


def test_a_missing_logo_is_said(tmp_path):
    for name in ("none.svg", "none.png"):
        with pytest.raises(GuidegenError, match="none"):
            prepare_logo(tmp_path / name, 60, 20)


def test_a_raster_logo_keeps_its_shape_and_its_clear_ground(tmp_path, opened_png):
    path = tmp_path / "logo.png"
    Image.new("RGBA", (3000, 1000), (200, 0, 0, 90)).save(path, dpi=(72, 72))
    logo = prepare_logo(path, 60, 60)
    assert (logo.width_mm, logo.height_mm) == (60, 20)
    picture = logo.item.items[0]
    assert isinstance(picture, Picture)
    image = opened_png(picture.data)
    assert image.mode == "RGBA"
    assert image.width <= 60 / 25.4 * 300 + 2
    assert "dpi" not in image.info


def test_arcs_take_time_by_their_number_alone(logo):
    arcs = "a1 1 0 0 1 1 1" * 2000
    start = time.process_time()
    assert logo(f'<svg {SVG} viewBox="0 0 9 9"><path d="M0 0{arcs}"/></svg>').item.items
    assert time.process_time() - start < 3  # by the square of their number it would be a minute


@pytest.mark.parametrize("paint", ['stroke="#000" stroke-width="1e999"', 'fill="#000" fill-opacity="1e999"'])
def test_paint_without_end_is_refused(paint, logo):
    with pytest.raises(GuidegenError, match="logo"):
        logo(f'<svg {SVG} viewBox="0 0 9 9"><path d="M0 0L9 9L0 9" {paint}/></svg>')


def test_more_shapes_than_a_logo_needs_are_refused(logo):
    with pytest.raises(GuidegenError, match="shapes: simplify"):
        logo(f"""<svg {SVG} viewBox="0 0 9 9">{'<circle r="1"/>' * 1501}</svg>""")
    with pytest.raises(GuidegenError, match="kB: simplify"):
        logo(f'<svg {SVG} viewBox="0 0 9 9"><!--{"x" * 100_000}--><path d="M0 0L9 9"/></svg>')
