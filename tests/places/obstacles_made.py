"""Lines of the obstacle file in all of its forms, invented in the open ocean."""

from dataclasses import dataclass
from typing import Final

HEAD: Final = (
    "  CURRENCY DATE = 10/25/26",
    "                                   LATITUDE     LONGITUDE    OBSTACLE           AGL   AMSL"
    "  LT ACC MAR FAA        ACTION",
    "OAS#      V CO ST CITY             DEG MIN SEC  DEG MIN SEC  TYPE               HT    HT"
    "       H V IND STUDY",
    "-" * 127,
)
CSV_HEAD: Final = (
    "OAS,VERIFIED STATUS,COUNTRY,STATE,CITY,LATDEC,LONDEC,DMSLAT,DMSLON,TYPE,QUANTITY,AGL,AMSL,"
    "LIGHTING,ACCURACY,MARKING,FAA STUDY,ACTION,JDATE"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """One obstacle; its place in whole seconds."""

    number: int = 1
    verified: str = "O"
    lat: tuple[int, int, int] = (41, 6, 0)
    lon: tuple[int, int, int] = (130, 30, 0)
    sides: str = "NW"
    kind: str = "TOWER"
    agl_ft: int = 236
    msl_ft: int = 348
    light: str = "R"
    accuracy: str = "5D"
    action: str = "A"

    @property
    def lat_deg(self) -> float:
        return _deg(self.lat) * (1 if self.sides[0] == "N" else -1)

    @property
    def lon_deg(self) -> float:
        return _deg(self.lon) * (1 if self.sides[1] == "E" else -1)

    def line(self) -> str:
        """In the current layout."""
        tail = f"{self.kind:<18.18} 1 {self.agl_ft:05d} {self.msl_ft:05d} {self.light}"
        return (
            f"{self._front()}{tail} {self.accuracy[0]} {self.accuracy[1]} M 2026QQQ01578OE"
            f" {self.action} 2026138"
        )

    def older_line(self) -> str:
        """In the layout before the type grew longer."""
        tail = f"{self.kind:<12.12} 1 {self.agl_ft:05d} {self.msl_ft:05d} {self.light}"
        return (
            f"{self._front()}{tail} {self.accuracy[0]} {self.accuracy[1]} M 2013QQQ01578OE"
            f" {self.action} 2013138"
        )

    def row(self) -> str:
        """In the CSV form."""
        lat, lon = _dms(self.lat, 2), _dms(self.lon, 3)
        return (
            f"90-{self.number:06d},{self.verified},US,OC,MARL           ,{self.lat_deg:.6f},"
            f"{self.lon_deg:.6f},{lat}{self.sides[0]},{lon}{self.sides[1]},{self.kind:<18},1,"
            f"{self.agl_ft:05d},{self.msl_ft:05d},{self.light}, {self.accuracy},M,"
            f"2026QQQ01578OE,{self.action},2026138 "
        )

    def _front(self) -> str:
        place = f"{_dms(self.lat, 2)}{self.sides[0]} {_dms(self.lon, 3)}{self.sides[1]}"
        return f"90-{self.number:06d} {self.verified} US OC {'MARL':<16} {place} "


def _dms(place: tuple[int, int, int], width: int) -> str:
    return f"{place[0]:0{width}d} {place[1]:02d} {place[2]:02d}.00"


def _deg(place: tuple[int, int, int]) -> float:
    return place[0] + place[1] / 60.0 + place[2] / 3600.0
