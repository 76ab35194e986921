"""Primitives in mm and their writers: PDF, SVG, PNG; fonts, symbols, pictures and codes."""
