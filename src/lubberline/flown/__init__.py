"""What was flown: phases, movements, findings."""

from lubberline.flown.debrief import debrief
from lubberline.flown.model import Flown, FlownTrack, Movement, Phase, WindMet
from lubberline.flown.standard import Standard, Tolerance
from lubberline.flown.standard_file import read_standard
from lubberline.flown.winds_met import wind_words

__all__ = [
    "Flown",
    "FlownTrack",
    "Movement",
    "Phase",
    "Standard",
    "Tolerance",
    "WindMet",
    "debrief",
    "read_standard",
    "wind_words",
]
