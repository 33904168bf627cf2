"""Plane geometry on arrays: outlines, corners, congruence, tiling."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.shape.clipping import (
        clip_by_lines as clip_by_lines,
        edge_lines as edge_lines,
        inset as inset,
        outlines_of as outlines_of,
        overlay as overlay,
        tidy as tidy,
    )
    from tesselath.shape.congruence import group_alike as group_alike
    from tesselath.shape.corners import (
        corner_turns as corner_turns,
        corners_moved_out as corners_moved_out,
        is_box as is_box,
        side_runs as side_runs,
    )
    from tesselath.shape.curves import (
        CHORD as CHORD,
        clip_corners as clip_corners,
        draw_oval as draw_oval,
        room_for_corners as room_for_corners,
        round_corners as round_corners,
    )
    from tesselath.shape.out_of_square import (
        DIAGONALS as DIAGONALS,
        SIDES as SIDES,
        MeasuredOpening as MeasuredOpening,
        cannot_close as cannot_close,
        solve_opening as solve_opening,
    )
    from tesselath.shape.outlines import (
        Line as Line,
        Outline as Outline,
        area as area,
        as_outline as as_outline,
        as_point as as_point,
        centroid as centroid,
        is_convex as is_convex,
        thickness as thickness,
        turned as turned,
    )
    from tesselath.shape.tiling import (
        HAIR as HAIR,
        as_polygons as as_polygons,
        bare_parts as bare_parts,
        crossed_outlines as crossed_outlines,
        find_overlaps as find_overlaps,
        shared_parts as shared_parts,
        times_covered as times_covered,
        too_close as too_close,
        wrongly_covered as wrongly_covered,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "congruence": "group_alike",
            "corners": "corner_turns corners_moved_out is_box side_runs",
            "curves": "CHORD clip_corners draw_oval room_for_corners round_corners",
            "out_of_square": "DIAGONALS SIDES MeasuredOpening cannot_close solve_opening",
            "outlines": "Line Outline area as_outline as_point centroid is_convex thickness turned",
            "clipping": "clip_by_lines edge_lines inset outlines_of overlay tidy",
            "tiling": (
                "HAIR as_polygons bare_parts crossed_outlines find_overlaps shared_parts "
                "times_covered too_close wrongly_covered"
            ),
        },
    )
