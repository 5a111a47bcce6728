"""Sketches of parts laid out with their dimensions on a sheet, as SVG, PDF or PNG. Knows no vehicle."""
