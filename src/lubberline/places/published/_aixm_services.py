"""Who answers for airspace and aerodromes in an AIXM document, and on what frequency."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.model import Radio, RadioUse
from lubberline.places.published._aixm import SERVICES, Library, lasting, texts
from lubberline.places.published._table import number
from lubberline.places.published._xml import said
from lubberline.places.published.nasr_radio import HIGH_MHZ, LOW_MHZ

_MHZ_PER: Final = {"MHZ": 1.0, "KHZ": 1e-3, "GHZ": 1e3, "HZ": 1e-6}
_USES: Final[Mapping[str, RadioUse]] = {
    **dict.fromkeys(("TWR",), "tower"),
    **dict.fromkeys(("SMC", "GCA", "TAXI"), "ground"),
    **dict.fromkeys(("APP", "ARR", "DEP", "RADAR", "RAC", "UAC", "ACS"), "approach"),
    **dict.fromkeys(("ATIS",), "atis"),
    **dict.fromkeys(("VOLMET", "AWOS"), "awos"),
    **dict.fromkeys(("AFIS", "FIS"), "ctaf"),
}


def radios_of(library: Library) -> dict[str, list[Radio]]:
    """Services by the features that they are for, each as often as it has frequencies."""
    found: dict[str, list[Radio]] = defaultdict(list)
    for kind in SERVICES:
        for feature in library.features[kind]:
            service = lasting(feature)
            if service is None:
                continue
            radios = list(_radios(library, service))
            for client in ("clientAirspace", "clientAirport"):
                for one in library.referred(service, client):
                    found[name_of(one)] += radios
    return found


def name_of(feature: Element) -> str:
    """The identifier of the whole world, else that of the document."""
    return said(feature, "identifier") or feature.get("id", "")


def _radios(library: Library, service: Element) -> Iterator[Radio]:
    calls = texts([service], "call-sign/CallsignDetail/callSign")
    units = [
        said(unit, "name")
        for one in library.referred(service, "serviceProvider")
        if (unit := lasting(one)) is not None
    ]
    kind = said(service, "type").upper()
    for feature in library.referred(service, "radioCommunication"):
        channel = lasting(feature)
        frequency_mhz = _frequency_mhz(channel)
        if frequency_mhz is not None:
            yield Radio(
                facility=next(iter(calls + units), "") or kind,
                use=_USES.get(kind, "other"),
                frequency_mhz=frequency_mhz,
                note=kind,
            )


def _frequency_mhz(channel: Element | None) -> float | None:
    """The civil voice channel, None if it is no such."""
    if channel is None:
        return None
    for path in ("frequencyTransmission", "frequencyReception"):
        node = channel.find(path)
        if node is not None:
            factor = _MHZ_PER.get(node.get("uom", "MHZ").upper(), 0.0)
            value_mhz = number((node.text or "").strip()) * factor
            if LOW_MHZ <= value_mhz <= HIGH_MHZ:
                return value_mhz
    return None
