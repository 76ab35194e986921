"""The records at the end of the guide: nobody signs for what nobody has found yet."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen import prepare
from guidegen.documents.guide.look import A4_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.records import _signatures

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"


@pytest.mark.parametrize(("sample", "to_find"), [("larch", 0), ("sorrel", 1)])
def test_what_is_still_to_be_located_is_left_out_of_what_was_shown(sample, to_find):
    context = prepare(SAMPLES / f"{sample}.yaml")
    _, said, *_ = _signatures(Kit(context, A4_LOOK)).blocks
    assert len(context.vehicle.to_locate) == to_find
    assert said.text.startswith("Everything in this guide was shown to me on the vehicle")
    assert ("but not what is still to be located" in said.text) is bool(to_find)
    assert all(item.name in said.text for item in context.vehicle.to_locate)
