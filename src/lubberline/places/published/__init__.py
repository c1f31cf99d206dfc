"""Readers of published forms: each takes a file and gives a data set with an account of it."""

from lubberline.places.published.aixm import read_aixm
from lubberline.places.published.class_shapefile import read_class_airspace
from lubberline.places.published.geojson import read_geojson
from lubberline.places.published.land import read_land
from lubberline.places.published.nasr import read_nasr
from lubberline.places.published.obstacles import read_obstacles
from lubberline.places.published.openair import read_openair
from lubberline.places.published.ourairports import read_ourairports
from lubberline.places.published.own_points import read_own_points
from lubberline.places.published.special_use import read_special_use

__all__ = [
    "read_aixm",
    "read_class_airspace",
    "read_geojson",
    "read_land",
    "read_nasr",
    "read_obstacles",
    "read_openair",
    "read_ourairports",
    "read_own_points",
    "read_special_use",
]
