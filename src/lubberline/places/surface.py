"""The class of airspace that reaches the ground at an aerodrome: its weather minima hold there."""

from typing import Final

from lubberline.earth import LocalPlane
from lubberline.places.footprint import distance_nm
from lubberline.places.model import Aerodrome, Places, Volume

STRICTEST_FIRST: Final = "ABCDE"  # where two overlap the stricter rules hold: 14 CFR 71.9 (memory)
UNCONTROLLED: Final = "G"


def surface_class(places: Places, aerodrome: Aerodrome) -> str:
    """Strictest class, A to E, of the volumes that reach the ground there; G where none does."""
    plane = LocalPlane(aerodrome.lat_deg, aerodrome.lon_deg)
    there = {
        volume.airspace_class
        for volume in places.volumes
        if _reaches_ground(volume) and distance_nm(volume.footprint, plane, 0.0, 0.0) <= 0.0
    }
    return next((letter for letter in STRICTEST_FIRST if letter in there), UNCONTROLLED)


def _reaches_ground(volume: Volume) -> bool:
    return volume.floor.reference != "MSL" and volume.floor.ft <= 0.0
