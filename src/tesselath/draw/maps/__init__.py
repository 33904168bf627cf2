"""Maps: the top seen from above, as map, template, preview and DXF."""
