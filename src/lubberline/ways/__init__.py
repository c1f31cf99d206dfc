"""Ways from one aerodrome to another: evaluated, checked, compared."""

from lubberline.ways.model import Encounter, Leg, Way
from lubberline.ways.problem import Margins, Motion, Rules, WayEnd, WaysProblem

__all__ = ["Encounter", "Leg", "Margins", "Motion", "Rules", "Way", "WayEnd", "WaysProblem"]
