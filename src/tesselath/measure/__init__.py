"""Numbers as makers write and read them: lengths, angles, the tape, spelling, tolerances."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.measure.angles import (
        cosine as cosine,
        reading_angle as reading_angle,
        sine as sine,
        tangent as tangent,
        turn_point as turn_point,
    )
    from tesselath.measure.measures import (
        parse_angle as parse_angle,
        parse_duration as parse_duration,
        parse_length as parse_length,
        parse_share as parse_share,
        parse_temperature as parse_temperature,
    )
    from tesselath.measure.spelling import (
        british as british,
        counted as counted,
        in_english as in_english,
        listed as listed,
        nearest as nearest,
        show_numbers as show_numbers,
    )
    from tesselath.measure.tape import (
        FINEST as FINEST,
        rounding_error as rounding_error,
        run_unit as run_unit,
        show_angle as show_angle,
        show_area as show_area,
        show_both as show_both,
        show_change as show_change,
        show_length as show_length,
        show_number as show_number,
        show_run as show_run,
    )
    from tesselath.measure.tolerances import (
        ALIKE as ALIKE,
        ANGLE_ALIKE as ANGLE_ALIKE,
        AREA_SHARE as AREA_SHARE,
        OFF_A_JOINT as OFF_A_JOINT,
        ON_THE_LINE as ON_THE_LINE,
        SLACK as SLACK,
        SNAP_GRID as SNAP_GRID,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "angles": "cosine reading_angle sine tangent turn_point",
            "measures": "parse_angle parse_duration parse_length parse_share parse_temperature",
            "spelling": "british counted in_english listed nearest show_numbers",
            "tape": (
                "FINEST rounding_error run_unit show_angle show_area show_both show_change "
                "show_length show_number show_run"
            ),
            "tolerances": "ALIKE ANGLE_ALIKE AREA_SHARE OFF_A_JOINT ON_THE_LINE SLACK SNAP_GRID",
        },
    )
