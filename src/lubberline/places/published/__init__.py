"""Readers of published forms: each takes a file and gives a data set with an account of it."""

from lubberline.places.published.nasr import read_nasr

__all__ = ["read_nasr"]
