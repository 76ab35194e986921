"""Folded sheets: reading order, upright panels, both duplex edges, nothing across a fold."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from guidegen.drawing.primitives import Circle, Line, Rect, Style, Text
from guidegen.errors import GuidegenError
from guidegen.paper.folds import assemble, fold, fold_names
from guidegen.paper.marks import BAR_CAPTION, BAR_MM

BOOKLETS = ("quarter", "slit-booklet", "half")
LEAFLETS = ("thirds", "zigzag")
DUPLEX = ("short", "long")
DOT = Style(fill="#000000")


def marked(scheme):
    """In the middle of every panel a dot with the panel's name, and one nearer to its head."""
    return {
        panel.id: (
            Circle(panel.width / 2, panel.height / 2, 0.1, DOT, css=f"{panel.id} middle"),
            Circle(panel.width / 2, panel.height / 2 - 9, 0.1, DOT, css=f"{panel.id} up"),
        )
        for panel in scheme.panels
    }


def marks_on_paper(scheme, duplex, boxes, simulator):
    """What the printer puts on the paper: marks in the front's coordinates, whichever side they are on."""
    sheets = assemble(scheme, marked(scheme), duplex)
    found = []
    for sheet, side in zip(sheets, ("front", "back"), strict=False):
        dots = {
            i.css: ((b[0] + b[2]) / 2, (b[1] + b[3]) / 2)
            for i, b in boxes(sheet.items)
            if isinstance(i, Circle)
        }
        if side == "back":
            dots = {
                css: simulator.printed(point, sheet.width_mm, sheet.height_mm, duplex)
                for css, point in dots.items()
            }
        for panel in scheme.panels:
            if panel.side == side:
                middle, head = dots[f"{panel.id} middle"], dots[f"{panel.id} up"]
                up = ((head[0] - middle[0]) / 9, (head[1] - middle[1]) / 9)
                found.append(simulator.Mark(panel.id, side, middle, up))
    return found


def reader(scheme, duplex, boxes, simulator):
    sheet = simulator.Sheet(
        scheme.width_mm,
        scheme.height_mm,
        [(crease.start, crease.end, crease.towards) for crease in scheme.creases],
        scheme.cuts,
    )
    posters = {panel.id for panel in scheme.panels if panel.poster}
    marks = [mark for mark in marks_on_paper(scheme, duplex, boxes, simulator) if mark.name not in posters]
    return simulator.Reader(sheet, marks, scheme.reading[0].id)


def read(scheme, duplex, boxes, simulator):
    """Everything that is read, in order."""
    hand = reader(scheme, duplex, boxes, simulator)
    if scheme.name in BOOKLETS:
        return hand.leaf_by_leaf()
    return [panel for view in hand.unfolding() for panel in view]


def changed_over(scheme, one, other):
    """The scheme with two panels in each other's place."""
    places = {one: scheme.panel(other), other: scheme.panel(one)}
    panels = tuple(
        replace(places[p.id], id=p.id, order=p.order) if p.id in places else p for p in scheme.panels
    )
    return replace(scheme, panels=panels)


@pytest.mark.parametrize("duplex", DUPLEX)
@pytest.mark.parametrize("name", BOOKLETS)
def test_booklets_are_read_leaf_by_leaf_with_every_page_upright(name, duplex, boxes, simulator):
    pages = reader(fold(name), duplex, boxes, simulator).leaf_by_leaf()
    assert [page.name for page in pages] == [panel.id for panel in fold(name).reading]
    assert all(page.upright for page in pages)


@pytest.mark.parametrize("duplex", DUPLEX)
@pytest.mark.parametrize("name", LEAFLETS)
def test_leaflets_unfold_in_reading_order_with_every_panel_upright(name, duplex, boxes, simulator):
    views = reader(fold(name), duplex, boxes, simulator).unfolding()
    panels = [panel for view in views for panel in view]
    assert [panel.name for panel in panels] == [panel.id for panel in fold(name).reading]
    assert all(panel.upright for panel in panels)
    assert [panel.name for panel in views[0]] == ["p1"]  # nothing but the cover until it is opened


def test_the_slit_booklet_has_the_usual_plan_of_eight_pages():
    """Pages 8 1 2 3 below, 7 6 5 4 above with their heads down: the known plan of this fold (from memory)."""
    rows: dict[float, list] = {}
    for panel in fold("slit-booklet").reading:
        rows.setdefault(panel.y, []).append(panel)
    above, below = (sorted(rows[y], key=lambda p: p.x) for y in sorted(rows))
    assert [(p.order, p.turn_deg) for p in below] == [(8, 0), (1, 0), (2, 0), (3, 0)]
    assert [(p.order, p.turn_deg) for p in above] == [(7, 180), (6, 180), (5, 180), (4, 180)]


@pytest.mark.parametrize("name", ["quarter", "slit-booklet"])
def test_a_poster_lies_on_the_paper_alike_for_both_duplex_edges(name, boxes, simulator):
    scheme = fold(name)
    short, long = (
        next(m for m in marks_on_paper(scheme, d, boxes, simulator) if m.name == "plan") for d in DUPLEX
    )
    assert short.middle == pytest.approx(long.middle) == (scheme.width_mm / 2, scheme.height_mm / 2)
    assert short.up == pytest.approx(long.up)


def test_the_rolled_leaflet_jams_when_its_inner_panel_is_as_wide_as_the_others(simulator):
    """The simulator can say no: three panels of 99 mm leave the inner one no room."""
    jammed = simulator.Sheet(297, 210, [((99, 0), (99, 210), "back"), ((198, 0), (198, 210), "back")])
    assert jammed.layerings() == []


@pytest.mark.parametrize("name", fold_names())
def test_the_simulator_notices_two_panels_changed_over(name, boxes, simulator):
    scheme = fold(name)
    other = next(p for p in scheme.reading[1:] if p.side == scheme.reading[0].side)
    with pytest.raises(simulator.Unreadable):
        read(changed_over(scheme, "p1", other.id), "short", boxes, simulator)


@pytest.mark.parametrize("name", fold_names())
def test_the_simulator_notices_a_panel_standing_on_its_head(name, boxes, simulator):
    scheme = fold(name)
    panels = tuple(
        replace(p, turn_deg=(p.turn_deg + 180) % 360) if p.id == "p3" else p for p in scheme.panels
    )
    pages = read(replace(scheme, panels=panels), "short", boxes, simulator)
    assert [page.name for page in pages if not page.upright] == ["p3"]


@pytest.mark.parametrize("name", fold_names())
def test_panels_tile_their_side_of_the_sheet(name):
    scheme = fold(name)
    for side in ("front", "back"):
        panels = [p for p in scheme.panels if p.side == side]
        area = sum(p.box_width * p.box_height for p in panels)
        assert area in (0, pytest.approx(scheme.width_mm * scheme.height_mm))
        for one in panels:
            assert one.x >= 0 and one.x + one.box_width <= scheme.width_mm
            assert one.y >= 0 and one.y + one.box_height <= scheme.height_mm
            for other in panels:
                apart = (
                    one.x + one.box_width <= other.x + 1e-9
                    or other.x + other.box_width <= one.x + 1e-9
                    or one.y + one.box_height <= other.y + 1e-9
                    or other.y + other.box_height <= one.y + 1e-9
                )
                assert apart or one is other


@pytest.mark.parametrize("name", fold_names())
def test_no_fold_runs_through_a_panel_that_is_read_folded(name):
    scheme = fold(name)
    for panel in scheme.reading:
        for (x0, y0), (x1, y1) in scheme.creases_on(panel.side):
            through_x = panel.x + 1e-6 < min(x0, x1) and max(x0, x1) < panel.x + panel.box_width - 1e-6
            through_y = panel.y + 1e-6 < min(y0, y1) and max(y0, y1) < panel.y + panel.box_height - 1e-6
            assert not (through_x if x0 == x1 else through_y)


@pytest.mark.parametrize("duplex", DUPLEX)
@pytest.mark.parametrize("name", fold_names())
def test_marks_keep_off_edges_folds_and_the_panels_own_frames(name, duplex, boxes):
    scheme = fold(name)
    ground = {p.id: (Rect(p.frame.x, p.frame.y, p.frame.width, p.frame.height, DOT),) for p in scheme.panels}
    for sheet in assemble(scheme, ground, duplex):
        placed = boxes(sheet.items)
        frames = [box for item, box in placed if isinstance(item, Rect)]
        marks = [(item, box) for item, box in placed if not isinstance(item, Rect)]
        for _, (left, top, right, foot) in marks:
            assert min(left, top, sheet.width_mm - right, sheet.height_mm - foot) >= 5 - 1e-6
            for frame in frames:
                assert right <= frame[0] or left >= frame[2] or foot <= frame[1] or top >= frame[3]


@pytest.mark.parametrize("name", fold_names())
def test_nothing_but_ticks_and_cuts_lies_on_a_fold(name, boxes):
    scheme = fold(name)
    for sheet, side in zip(assemble(scheme, marked(scheme), "short"), ("front", "back"), strict=False):
        turned = side == "back" and sheet.height_mm > sheet.width_mm  # printed head over for the short edge
        for start, end in scheme.creases_on(side):
            if turned:
                start, end = ((sheet.width_mm - x, sheet.height_mm - y) for x, y in (start, end))
            (x0, x1), (y0, y1) = sorted((start[0], end[0])), sorted((start[1], end[1]))
            for item, (left, top, right, foot) in boxes(sheet.items):
                meets = left < x1 + 1e-6 and right > x0 - 1e-6 and top < y1 + 1e-6 and foot > y0 - 1e-6
                if meets and not isinstance(item, Circle):
                    assert isinstance(item, Line) and item.style.width_mm < 0.35


@pytest.mark.parametrize("duplex", DUPLEX)
@pytest.mark.parametrize("name", fold_names())
def test_every_side_says_on_which_edge_to_turn_and_one_has_the_check_bar(name, duplex, boxes):
    scheme = fold(name)
    sheets = assemble(scheme, marked(scheme), duplex)
    captions = 0
    for sheet in sheets:
        words = " ".join(item.text for item, _ in boxes(sheet.items) if isinstance(item, Text))
        assert f"{duplex} edge" in words
        if all(word in words for word in BAR_CAPTION.split()):
            captions += 1
            bar = [
                box
                for item, box in boxes(sheet.items)
                if isinstance(item, Line) and item.style.width_mm == 0.35
            ]
            wide = max(b[2] for b in bar) - min(b[0] for b in bar)
            high = max(b[3] for b in bar) - min(b[1] for b in bar)
            # The end marks are 0.35 mm thick and reach 1 mm to either side.
            assert max(wide, high) == pytest.approx(BAR_MM, abs=0.36) and min(wide, high) == pytest.approx(2)
    assert captions == 1


def test_a_sheet_with_nothing_on_the_back_has_one_side(boxes):
    scheme = fold("slit-booklet")
    items = {k: v for k, v in marked(scheme).items() if k != "plan"}
    (sheet,) = assemble(scheme, items, "long")
    words = " ".join(item.text for item, _ in boxes(sheet.items) if isinstance(item, Text))
    assert "one side" in words and "edge" not in words


def test_unknown_folds_and_panels_are_refused():
    with pytest.raises(GuidegenError, match="quarter"):
        fold("origami")
    with pytest.raises(KeyError):
        assemble(fold("half"), {"p9": (Circle(1, 1, 1, DOT),)}, "short")


def test_a_poster_knows_the_folds_that_run_through_it():
    """The plan lies on landscape A4: its folds are the two middle lines."""
    scheme = fold("quarter")
    lines = {tuple(sorted(ends)) for ends in scheme.folds_through(scheme.panel("plan"))}
    assert lines == {
        ((148.5, 0.0), (148.5, 210.0)),
        ((0.0, 105.0), (148.5, 105.0)),
        ((148.5, 105.0), (297.0, 105.0)),
    }
