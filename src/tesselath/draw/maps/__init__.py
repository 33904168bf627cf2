"""Maps: the top seen from above, as map, template, preview and DXF."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.draw.maps.compare_sheet import draw_comparison as draw_comparison
    from tesselath.draw.maps.dxf import write_dxf as write_dxf
    from tesselath.draw.maps.fault import draw_fault as draw_fault, may_be_drawn as may_be_drawn
    from tesselath.draw.maps.fit_sheet import Shown as Shown, draw_fit as draw_fit
    from tesselath.draw.maps.frame import frame_shape as frame_shape
    from tesselath.draw.maps.grain import (
        inside_spans as inside_spans,
        rule_lines as rule_lines,
        ruled_swatch as ruled_swatch,
        ruling_stroke as ruling_stroke,
    )
    from tesselath.draw.maps.labels import (
        Label as Label,
        LabelSizes as LabelSizes,
        Wanted as Wanted,
        place_labels as place_labels,
    )
    from tesselath.draw.maps.leaders import Leader as Leader, lead_out as lead_out
    from tesselath.draw.maps.lettered import (
        corner_triangle as corner_triangle,
        draw_label as draw_label,
        label_outline as label_outline,
        may_be_misread as may_be_misread,
        stop_corner as stop_corner,
    )
    from tesselath.draw.maps.map import draw_map as draw_map
    from tesselath.draw.maps.preview import (
        FrameLook as FrameLook,
        Top as Top,
        draw_preview as draw_preview,
    )
    from tesselath.draw.maps.rod_marks import (
        RodMark as RodMark,
        RodRow as RodRow,
        mark_rod as mark_rod,
    )
    from tesselath.draw.maps.seasons import draw_seasons as draw_seasons
    from tesselath.draw.maps.surround import draw_centre_lines as draw_centre_lines
    from tesselath.draw.maps.template import lay_template as lay_template
    from tesselath.draw.maps.template_pages import draw_template_pages as draw_template_pages
    from tesselath.draw.maps.template_sheet import draw_template_sheet as draw_template_sheet
    from tesselath.draw.maps.title import (
        Block as Block,
        draw_foot as draw_foot,
        scale_block as scale_block,
        sign_block as sign_block,
        title_block as title_block,
    )
    from tesselath.draw.maps.wood import WoodLook as WoodLook, dress_woods as dress_woods
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "compare_sheet": "draw_comparison",
            "dxf": "write_dxf",
            "fault": "draw_fault may_be_drawn",
            "fit_sheet": "Shown draw_fit",
            "frame": "frame_shape",
            "grain": "inside_spans rule_lines ruled_swatch ruling_stroke",
            "labels": "Label LabelSizes Wanted place_labels",
            "leaders": "Leader lead_out",
            "lettered": "corner_triangle draw_label label_outline may_be_misread stop_corner",
            "map": "draw_map",
            "preview": "FrameLook Top draw_preview",
            "rod_marks": "RodMark RodRow mark_rod",
            "seasons": "draw_seasons",
            "surround": "draw_centre_lines",
            "template": "lay_template",
            "template_pages": "draw_template_pages",
            "template_sheet": "draw_template_sheet",
            "title": "Block draw_foot scale_block sign_block title_block",
            "wood": "WoodLook dress_woods",
        },
    )
