"""The JSON Schema of the design file, for editors that complete keys as they are typed.

Comes in: the design's models. Goes out: the text of ``design_schema.json``, which ships beside this
module.

After a change to the models: ``python -m tesselath.design.design_schema`` writes it anew.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tesselath.design.design_models import DesignModel

__all__ = ["design_schema", "write_schema"]


def design_schema() -> str:
    """Give the JSON Schema of a design file.

    Source: JSON Schema 2020-12. A default that differs in metric files stands beside the
    inch one as ``default_mm``.
    """
    schema = _clean(DesignModel.model_json_schema())
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return json.dumps({**head, **schema}, ensure_ascii=False, indent=2, sort_keys=True) + "\n"


def write_schema(path: Path | None = None) -> Path:
    """Write the schema; left out, where it ships."""
    target = path or Path(__file__).with_suffix(".json")
    target.write_text(design_schema(), encoding="utf-8", newline="\n")
    return target


def _clean(node: Any) -> Any:
    """Take out what TOML cannot say (null) and what says nothing (titles made from names)."""
    if isinstance(node, list):
        return [_clean(item) for item in node if item != {"type": "null"}]
    if not isinstance(node, dict):
        return node
    plain = {
        key: _clean(value)
        for key, value in node.items()
        if not (key == "title" and isinstance(value, str))
        and not (key == "default" and value in (None, {}, []))
        and not (key == "default_mm" and value in (node.get("default"), {}))
    }
    choices = plain.get("anyOf")
    if isinstance(choices, list) and len(choices) == 1:
        plain = {**choices[0], **{key: value for key, value in plain.items() if key != "anyOf"}}
    return plain


if __name__ == "__main__":
    write_schema()
