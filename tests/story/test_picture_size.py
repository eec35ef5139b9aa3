"""The pictures of the demo pages: each small enough to send."""

from __future__ import annotations

import re

from explain.charts import draw
from explain.story.drawings import SightDrawing
from explain.story.page import tell

LARGEST_BYTES = 15_000


def drawings_of(pair):
    blocks = [block for group in tell(pair).groups for section in group.sections for block in section.blocks]
    return [block.drawing for block in blocks if block.kind == "figure"]


def test_every_picture_of_a_demo_order_is_small_even_as_text(demo_pair):
    sights = [drawing for drawing in drawings_of(demo_pair) if isinstance(drawing, SightDrawing)]
    for drawing in sights:
        pictures = re.findall(r'href="(data:image/png;base64,[^"]+)"', draw(drawing, "a"))
        assert len(pictures) == len(drawing.pictures)
        assert max(map(len, pictures)) <= LARGEST_BYTES
    assert bool(sights) == (demo_pair.order.lenses.design != "plano")
