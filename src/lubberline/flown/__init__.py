"""What was flown: phases, movements, findings."""

from lubberline.flown.debrief import debrief
from lubberline.flown.model import Flown, FlownTrack, Movement, Phase
from lubberline.flown.standard import Standard, Tolerance
from lubberline.flown.standard_file import read_standard

__all__ = [
    "Flown",
    "FlownTrack",
    "Movement",
    "Phase",
    "Standard",
    "Tolerance",
    "debrief",
    "read_standard",
]
