"""Paper: sheets, pens, lettering and colours, and the writers that put sheets into files."""
