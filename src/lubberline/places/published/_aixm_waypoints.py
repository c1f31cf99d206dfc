"""Published fixes and radio aids from an AIXM document."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from lubberline.places.model import Waypoint
from lubberline.places.published._account import Accounting, Unfit
from lubberline.places.published._aixm import Library, lasting
from lubberline.places.published._gml import Axes, Curves
from lubberline.places.published._table import number
from lubberline.places.published._xml import LINE, said


def waypoints_of(
    library: Library, file: str, source: str, account: Accounting
) -> Iterator[Waypoint]:
    """All that have an identifier and a place."""
    for kind in ("DesignatedPoint", "Navaid"):
        for feature in library.features[kind]:
            try:
                one = _waypoint(library, feature, source)
            except Unfit as exc:
                account.leave_out(file, int(feature.get(LINE, "0")), kind, str(exc))
                continue
            account.read("waypoints")
            yield one


def _waypoint(library: Library, feature: Element, source: str) -> Waypoint:
    holds = lasting(feature)
    name = said(holds, "designator")
    point = None if holds is None else holds.find("location/*")
    if holds is None or not name or point is None:
        raise Unfit(f"{name} without a place" if name else "no identifier")
    lat_deg, lon_deg = Curves(library.find).place(point, Axes())
    if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 180.0):
        raise Unfit(f"{name}: a place that is not on earth")
    frequencies = list(_frequencies_mhz(library, holds))
    return Waypoint(
        id=name,
        kind=said(holds, "type") or feature.tag,
        name=said(holds, "name"),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        frequency_mhz=frequencies[0] if frequencies else None,
        source=source,
    )


def _frequencies_mhz(library: Library, navaid: Element) -> Iterator[float]:
    """What its equipment transmits on."""
    path = "navaidEquipment/NavaidComponent/theNavaidEquipment"
    for one in library.referred(navaid, path):
        equipment = lasting(one)
        node = None if equipment is None else equipment.find("frequency")
        factor = {"MHZ": 1.0, "KHZ": 1e-3}.get("" if node is None else node.get("uom", "").upper())
        if node is not None and factor is not None:
            value_mhz = number((node.text or "").strip()) * factor
            if value_mhz > 0.0:
                yield value_mhz
