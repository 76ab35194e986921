"""How systems share pages: every one once and whole, in their order, none on a page that it does not fit."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.documents.guide.look import A4_LOOK
from guidegen.documents.guide.pages import PARTED_MM
from guidegen.documents.guide.sharing import share_pages
from guidegen.documents.guide.system_ways import WAYS, Spread

PAGE = A4_LOOK.height


class Stub:
    """A part as high as said, a tenth less in each tighter way; over pages it takes two, the last half full."""

    def __init__(self, letter: str, height: float) -> None:
        self.letter, self.height = letter, height

    def height_mm(self, way, room=0.0):
        return self.height * (1 - 0.1 * WAYS.index(way))

    def spread(self, odd):
        return Spread(2, A4_LOOK.top + 0.5 * PAGE, list)


def parts(*heights):
    return [Stub(chr(65 + n), share * PAGE) for n, share in enumerate(heights)]


def shared(page, *heights):
    """The groups as letters, those that follow on a page behind a plus."""
    groups = share_pages(parts(*heights), A4_LOOK, page)
    return [("+" if g.after else "") + "".join(p.letter for p in g.parts) for g in groups]


def test_small_systems_share_a_page_and_those_that_fill_most_of_one_do_not():
    assert shared(1, 0.4, 0.4) == ["AB"]
    assert shared(1, 0.7, 0.7) == ["A", "B"]


def test_a_small_system_follows_on_the_last_page_of_one_that_takes_several():
    assert shared(2, 3.0, 0.4, 0.7) == ["A", "+B", "C"]


@pytest.mark.parametrize("page", [2, 3])
def test_no_system_waits_for_another_so_that_its_pages_face_each_other(page):
    """The order is that of the key, in every edition: who asks for the next chapter finds the same one."""
    assert shared(page, 3.0, 0.9, 0.9) == ["A", "B", "C"]
    assert shared(page, 0.9, 3.0, 3.0) == ["A", "B", "C"]


@settings(max_examples=150, deadline=None)
@given(st.lists(st.floats(0.2, 2.5), max_size=9), st.integers(1, 2))
def test_every_system_stands_once_whole_and_in_its_place_in_the_order(heights, first):
    own = parts(*heights)
    groups = share_pages(own, A4_LOOK, first)
    letters = [p.letter for g in groups for p in g.parts]
    assert letters == [p.letter for p in own]
    for before, group in zip([None, *groups], groups, strict=False):
        if isinstance(group.how, Spread):
            assert len(group.parts) == 1 and group.parts[0].height_mm(WAYS[0]) > PAGE
            continue
        used = sum(p.height_mm(group.how) for p in group.parts) + PARTED_MM * (len(group.parts) - 1)
        room = PAGE - (before.how.foot - A4_LOOK.top + PARTED_MM) if group.after else PAGE
        assert used == pytest.approx(min(used, room))
        assert not group.after or isinstance(before.how, Spread)


def test_a_part_that_fits_a_page_stays_one_that_does_though_later_taken_for_higher():
    """The least height of a part is told anew once its plan is known, and may then be more than the page."""

    class Known(Stub):
        asked = 0

        def height_mm(self, way, room=0.0):
            self.asked += 1
            return super().height_mm(way) if self.asked == 1 else 2 * PAGE

    for page in (1, 2):
        (group,) = share_pages([Known("A", 0.99 * PAGE)], A4_LOOK, page)
        assert [p.letter for p in group.parts] == ["A"]
        assert not isinstance(group.how, Spread)
