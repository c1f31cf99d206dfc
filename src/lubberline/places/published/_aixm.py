"""Features of an AIXM document: found by their references, with what holds of them and when.

What holds is told by time slices. A baseline holds for its period; a temporary or permanent change
names only what is other than in the baseline. Changes stand beside the baseline, never instead of
it: a volume too many is seen, one too few is not.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.published._xml import said

SERVICES: Final = (
    *("AirTrafficControlService", "InformationService", "GroundTrafficControlService"),
    *("AirTrafficManagementService",),
)
AERODROMES: Final = ("AirportHeliport", "Runway", "RunwayDirection", "RunwayCentrelinePoint")
KINDS: Final = frozenset(
    (
        *("Airspace", "GeoBorder", "Unit", "RadioCommunicationChannel"),
        *("DesignatedPoint", "Navaid", "VOR", "NDB", "DME", "TACAN"),
        *SERVICES,
        *AERODROMES,
    )
)
_LASTING: Final = ("BASELINE", "SNAPSHOT", "")
_REFERRED_TO: Final = frozenset(
    (
        *("Curve", "ElevatedCurve", "OrientableCurve", "CompositeCurve", "Ring", "LineString"),
        *("Point", "ElevatedPoint", "Surface", "ElevatedSurface", "AirspaceVolume"),
    )
)


@dataclass(frozen=True, slots=True)
class Slice:
    """What holds of a feature for a time: its properties as children of ``node``."""

    node: Element
    order: tuple[int, int]
    change: str = ""  # "" for a baseline
    from_utc: datetime | None = None
    until_utc: datetime | None = None

    def over(self, baseline: "Slice") -> "Slice":
        """A change together with what it leaves as it was."""
        changed = {child.tag for child in self.node}
        node = Element(self.node.tag, self.node.attrib)
        node.extend(self.node)
        node.extend(child for child in baseline.node if child.tag not in changed)
        return Slice(node, self.order, self.change, self.from_utc, self.until_utc)


@dataclass(slots=True)
class Library:
    """Features by kind, and whatever may be referred to by its identifiers."""

    features: dict[str, list[Element]] = field(default_factory=lambda: defaultdict(list))
    _by_id: dict[str, Element] = field(default_factory=dict)

    def add(self, feature: Element) -> None:
        """Keep a feature."""
        self.features[feature.tag].append(feature)
        self._by_id.setdefault(said(feature, "identifier"), feature)
        for node in feature.iter():
            if node is feature or node.tag in _REFERRED_TO:
                self._by_id.setdefault(node.get("id", ""), node)

    def find(self, href: str) -> Element | None:
        """What a reference means: an identifier of the whole world or one of the document."""
        name = href.strip().removeprefix("urn:uuid:").removeprefix("#")
        return self._by_id.get(name) if name else None

    def referred(self, node: Element, path: str) -> Iterator[Element]:
        """All features that the elements at a path refer to and the document holds."""
        for one in node.findall(path):
            found = self.find(one.get("href", ""))
            if found is not None:
                yield found


def slices_of(feature: Element) -> list[Slice]:
    """The baselines in their order, then the changes, each with what it leaves as it was.

    Of slices of one sequence number the last correction counts.
    """
    latest: dict[tuple[str, int], Slice] = {}
    for one in map(_slice, feature.findall("timeSlice/*")):
        key = (one.change, one.order[0])
        if key not in latest or one.order > latest[key].order:
            latest[key] = one
    found = sorted(latest.values(), key=lambda one: (one.change != "", one.order))
    baselines = [one for one in found if not one.change]
    return baselines + [
        one.over(_baseline(baselines, one)) if baselines else one for one in found if one.change
    ]


def lasting(feature: Element) -> Element | None:
    """What holds of a feature: the last baseline, for what needs no dates."""
    baselines = [one for one in slices_of(feature) if not one.change]
    return baselines[-1].node if baselines else None


def _baseline(baselines: list[Slice], change: Slice) -> Slice:
    """The baseline that holds when a change begins."""
    begin = change.from_utc
    holding = (
        one
        for one in baselines
        if begin is not None
        and (one.from_utc is None or one.from_utc <= begin)
        and (one.until_utc is None or begin < one.until_utc)
    )
    return next(holding, baselines[-1])


def _slice(node: Element) -> Slice:
    said_of = said(node, "interpretation").upper()
    order = (_count(said(node, "sequenceNumber")), _count(said(node, "correctionNumber")))
    return Slice(
        node,
        order,
        "" if said_of in _LASTING else said_of,
        time_utc(said(node, "validTime/*/beginPosition") or said(node, "validTime/*/timePosition")),
        time_utc(said(node, "validTime/*/endPosition")),
    )


def _count(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 else 0


def time_utc(text: str) -> datetime | None:
    """A time, UTC where no zone is told; None for none, or what is none: it holds at all times."""
    try:
        time = datetime.fromisoformat(text)
    except ValueError:
        return None
    return time.replace(tzinfo=UTC) if time.tzinfo is None else time.astimezone(UTC)


def notes_of(node: Element) -> str:
    """Remarks on what holds, in English where there is a choice."""
    found = node.findall("annotation/Note/translatedNote/LinguisticNote/note")
    english = [one for one in found if one.get("lang", "").lower().startswith("en")]
    return "; ".join(" ".join((one.text or "").split()) for one in english or found)


def texts(nodes: Iterable[Element], path: str) -> list[str]:
    """What stands at a path of each, without the empty ones."""
    return [text for node in nodes for one in node.findall(path) if (text := said(one, "."))]
