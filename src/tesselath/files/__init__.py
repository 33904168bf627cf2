"""A maker's files: read with line numbers, written whole or not at all."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.files.folder import write_file as write_file, write_folder as write_folder
    from tesselath.files.toml_faults import explain_toml as explain_toml
    from tesselath.files.toml_places import (
        KeyPlace as KeyPlace,
        find_lines as find_lines,
        find_places as find_places,
    )
    from tesselath.files.where import (
        examples_folder as examples_folder,
        patterns_folder as patterns_folder,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "folder": "write_file write_folder",
            "toml_faults": "explain_toml",
            "toml_places": "KeyPlace find_lines find_places",
            "where": "examples_folder patterns_folder",
        },
    )
