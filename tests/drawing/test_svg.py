"""The SVG against its contract: millimetres, no font, nothing from outside, wording for screen readers."""

from __future__ import annotations

import re

import pytest
from lxml import etree

from guidegen.drawing.fonts import MissingGlyph
from guidegen.drawing.primitives import Circle, Group, Line, Link, Rect, Sheet, Style, Text, translate
from guidegen.drawing.svg import write_svg

NS = {"s": "http://www.w3.org/2000/svg"}
GREY = Style(fill="#777777")


def parsed(*items, title="A title", description="A description"):
    text = write_svg(Sheet(297, 210, items, title, description))
    return etree.fromstring(text.encode(), etree.XMLParser(resolve_entities=False, no_network=True))


def test_one_unit_is_a_millimetre():
    root = parsed()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("297mm", "210mm", "0 0 297 210")


def test_title_and_description_come_first_and_label_the_drawing():
    root = parsed(Text(1, 1, "x", 10), title='<b> & "q"\x07', description="naïve – 水")
    title, description = root[0], root[1]
    assert (etree.QName(title).localname, title.text) == ("title", "<b> & “q”")
    assert (etree.QName(description).localname, description.text) == ("desc", "naïve – 水")
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == description.get("id")


def test_text_is_outlines_with_its_wording_as_label(every_primitive):
    sheet = every_primitive.sheet()
    root = parsed(*sheet.items)
    labels = root.xpath("//s:path[@role='img']/@aria-label", namespaces=NS)
    for text in every_primitive.texts():
        assert text.text in labels
    assert not root.xpath("//s:text | //s:tspan | //s:font", namespaces=NS)
    assert "font" not in write_svg(sheet)


def test_nothing_comes_from_outside_and_nothing_runs(every_primitive):
    text = write_svg(every_primitive.sheet())
    root = etree.fromstring(text.encode())
    for element in root.iter():
        assert etree.QName(element).localname not in ("script", "style", "foreignObject", "a", "use")
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            if name.endswith("href"):
                assert value.startswith(("data:image/png;base64,", "data:image/jpeg;base64,"))
            assert "url(" not in value or re.fullmatch(r"url\(#clip-\d+\)", value)


def test_links_are_left_out():
    assert len(parsed(Link(0, 0, 5, 5, "https://example.org/"))) == len(parsed())


def test_classes_and_attributes_of_groups_are_kept():
    inner = (
        Circle(5, 5, 0.9, GREY, "marker"),
        Line(((5, 5), (20, 9)), Style(stroke="#222222"), css="leader"),
        Rect(20, 7, 5, 5, GREY, css="badge"),
    )
    attributes = (("data-number", "12"), ("data-point", "pump-switch"))
    group = Group(inner, translate(3, 4), css="callout", attributes=attributes, title="12: pump <switch>")
    element = parsed(group).xpath("//s:g[@class='callout']", namespaces=NS)[0]
    assert element.get("data-number") == "12"
    assert element.get("data-point") == "pump-switch"
    assert element.get("transform") == "translate(3 4)"
    assert element.xpath("s:title/text()", namespaces=NS) == ["12: pump <switch>"]
    kinds = {e.get("class"): etree.QName(e).localname for e in element if e.get("class")}
    assert kinds == {"marker": "circle", "leader": "polyline", "badge": "rect"}


def test_numbers_have_three_decimals_at_most():
    root = parsed(Circle(1 / 3, 2 / 3, 1e-9, GREY), Line(((0, 1 / 7), (10, 100)), Style(stroke="#000000")))
    circle = root.xpath("//s:circle", namespaces=NS)[0]
    assert [circle.get(name) for name in ("cx", "cy", "r")] == ["0.333", "0.667", "0"]
    assert root.xpath("//s:polyline/@points", namespaces=NS) == ["0,0.143 10,100"]


def test_a_plan_stays_small_in_elements():
    """One element a shape and one a text, however long."""
    items = tuple(Text(10, 10 + n, "a rather long label on the plan", 8) for n in range(50))
    root = parsed(*items)
    assert len(root.xpath("//s:path", namespaces=NS)) == 50


def test_a_missing_glyph_is_an_error():
    with pytest.raises(MissingGlyph):
        write_svg(Sheet(50, 50, (Text(10, 10, "水", 10),)))
