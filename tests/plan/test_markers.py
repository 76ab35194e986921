"""Every mark stands out on white paper, in colour or grey."""

from __future__ import annotations

import pytest

from guidegen.drawing.primitives import Style
from guidegen.plan.markers import INK, system_mark
from guidegen.trade.load import load_trade

TRADE = load_trade()
KINDS = {kind.colour or TRADE.systems[kind.system].colour: kind for kind in TRADE.kinds.values()}


def contrast_on_white(colour: str) -> float:
    """Contrast ratio of WCAG 2.x with white."""
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


@pytest.mark.parametrize("colour", KINDS)
def test_a_mark_or_its_edge_stands_out_on_white(colour: str) -> None:
    system = TRADE.systems[KINDS[colour].system]
    style: Style = system_mark(system, colour, 0.0, 0.0).style
    # WCAG 2.x success criterion 1.4.11: graphical objects at least 3:1.
    assert contrast_on_white(style.stroke or style.fill) >= 3.0
    assert (style.stroke == INK) == (contrast_on_white(colour) < 3.0)
