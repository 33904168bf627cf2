"""A pattern as values: reading it, finding it, settling its sizes."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.pattern.catalogue import (
        PatternTitle as PatternTitle,
        find_pattern as find_pattern,
        list_patterns as list_patterns,
        pattern_names as pattern_names,
    )
    from tesselath.pattern.chart import (
        Cell as Cell,
        join_chart as join_chart,
        mirrored_rows as mirrored_rows,
    )
    from tesselath.pattern.expressions import (
        Expression as Expression,
        Value as Value,
        constant as constant,
    )
    from tesselath.pattern.pattern import (
        ChartRule as ChartRule,
        Courses as Courses,
        Pattern as Pattern,
        PieceItem as PieceItem,
        RingsRule as RingsRule,
        Size as Size,
        StripItem as StripItem,
    )
    from tesselath.pattern.pattern_reference import starter_pattern as starter_pattern
    from tesselath.pattern.sizes import (
        check_settings as check_settings,
        settle_sizes as settle_sizes,
        show_size as show_size,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "catalogue": "PatternTitle find_pattern list_patterns pattern_names",
            "chart": "Cell join_chart mirrored_rows",
            "expressions": "Expression Value constant",
            "pattern": "ChartRule Courses Pattern PieceItem RingsRule Size StripItem",
            "pattern_reference": "starter_pattern",
            "sizes": "check_settings settle_sizes show_size",
        },
    )
