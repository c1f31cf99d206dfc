"""What was flown: phases, movements, findings."""

from lubberline.flown.model import Flown, Movement, Phase
from lubberline.flown.standard import Standard, Tolerance

__all__ = [
    "Flown",
    "Movement",
    "Phase",
    "Standard",
    "Tolerance",
]
