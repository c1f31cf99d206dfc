"""Data sets on disk: one file each, asked for what lies near a route."""

from lubberline.places.index.index import Index, open_index, write_index

__all__ = ["Index", "open_index", "write_index"]
