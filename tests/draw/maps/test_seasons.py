"""The plot of the field over the humidity: inside its sheet, one scale, curves that rise."""

from __future__ import annotations

import numpy as np
import pytest

from tesselath.draw.maps import draw_seasons
from tesselath.draw.paper import Line, Text, text_outline
from tesselath.output import write_outputs
from tops import plan_of, top

TOPS = {
    "tray": top(),
    "metric": top(head='units = "mm"'),
    "large": top(width="120 in", depth="40 in", sizes='w = "4 in"'),
    "slab": top("running-bond", strips='kind = "solid slab"', sizes='L = "8 in"'),
    "desert": top(
        more="[room]\ndry = { moisture = 3 }\nhumid = { moisture = 5 }\nmade = { moisture = 4 }\n"
    ),
}


@pytest.mark.parametrize("name", TOPS)
def test_everything_lies_on_the_sheet_and_no_lettering_overlaps(name: str) -> None:
    sheet = draw_seasons(plan_of(TOPS[name]))
    texts = [i for layer in sheet.layers for i in layer.items if isinstance(i, Text)]
    boxes = [np.asarray(text_outline(text)) for text in texts]
    for corners in boxes:
        assert corners.min() >= 0
        assert corners[:, 0].max() <= sheet.width
        assert corners[:, 1].max() <= sheet.height
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = (one.min(axis=0) >= other.max(axis=0)) | (one.max(axis=0) <= other.min(axis=0))
            assert apart.any()


@pytest.mark.parametrize("name", TOPS)
def test_both_plots_rise_with_the_humidity_within_one_scale(name: str) -> None:
    sheet = draw_seasons(plan_of(TOPS[name]))
    runs = [
        np.asarray(i.runs[0])
        for layer in sheet.layers
        if layer.name == "curves"
        for i in layer.items
        if isinstance(i, Line) and len(i.runs[0]) > 2
    ]
    assert len(runs) == (2 if name == "slab" else 4)
    for run in runs:
        assert (np.diff(run[:, 0]) > 0).all()
        assert (np.diff(run[:, 1]) >= 0).all()
        assert run[:, 1].min() > 20.0
        assert run[:, 1].max() < sheet.height - 20.0


def test_the_plot_is_a_file_of_the_plan_and_names_its_design() -> None:
    plan = plan_of(TOPS["tray"])
    svg = write_outputs(plan, ("movement",))["movement.svg"]
    assert isinstance(svg, str)
    assert plan.design.mark in svg
    assert "glued on plywood" in svg
