"""AIXM 5.1 documents, invented in the open ocean."""

from typing import Final

HEAD: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<message:AIXMBasicMessage xmlns:message="http://www.aixm.aero/schema/5.1/message"'
    ' xmlns:aixm="http://www.aixm.aero/schema/5.1" xmlns:gml="http://www.opengis.net/gml/3.2"'
    ' xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" gml:id="M1">\n'
)
TAIL: Final = "</message:AIXMBasicMessage>\n"
EPSG: Final = "urn:ogc:def:crs:EPSG::4326"
CRS84: Final = "urn:ogc:def:crs:OGC:1.3:CRS84"
SQUARE: Final = (
    "<gml:LinearRing><gml:posList>41 -131 41.2 -131 41.2 -130.8 41 -130.8 41 -131"
    "</gml:posList></gml:LinearRing>"
)


def document(*features: str) -> str:
    """A whole document."""
    members = "".join(f"<message:hasMember>\n{one}\n</message:hasMember>\n" for one in features)
    return HEAD + members + TAIL


def feature(kind: str, uuid: str, *slices: str) -> str:
    """A feature with its time slices."""
    told = "".join(f"<aixm:timeSlice>{one}</aixm:timeSlice>" for one in slices)
    return (
        f'<aixm:{kind} gml:id="uuid.{uuid}">'
        f'<gml:identifier codeSpace="urn:uuid:">{uuid}</gml:identifier>{told}</aixm:{kind}>'
    )


def time_slice(
    kind: str, body: str, change: str = "BASELINE", begin: str = "2026-11-01T00:00:00Z",
    end: str = "", number: str = "1", correction: str = "0",
) -> str:  # fmt: skip
    """What holds of a feature, and when."""
    until = f">{end}</gml:endPosition>" if end else ' indeterminatePosition="unknown"/>'
    return (
        f"<aixm:{kind}TimeSlice><gml:validTime><gml:TimePeriod>"
        f"<gml:beginPosition>{begin}</gml:beginPosition><gml:endPosition{until}"
        f"</gml:TimePeriod></gml:validTime><aixm:interpretation>{change}</aixm:interpretation>"
        f"<aixm:sequenceNumber>{number}</aixm:sequenceNumber>"
        f"<aixm:correctionNumber>{correction}</aixm:correctionNumber>{body}</aixm:{kind}TimeSlice>"
    )


def ring(*segments: str) -> str:
    """A ring of one curve."""
    return (
        "<gml:Ring><gml:curveMember><gml:Curve><gml:segments>"
        f"{''.join(segments)}</gml:segments></gml:Curve></gml:curveMember></gml:Ring>"
    )


def surface(outer: str, *holes: str, srs: str = EPSG) -> str:
    """The horizontal extent of a volume."""
    name = f' srsName="{srs}"' if srs else ""
    cut = "".join(f"<gml:interior>{hole}</gml:interior>" for hole in holes)
    return (
        f'<aixm:horizontalProjection><aixm:Surface gml:id="s"{name}><gml:patches>'
        f"<gml:PolygonPatch><gml:exterior>{outer}</gml:exterior>{cut}</gml:PolygonPatch>"
        "</gml:patches></aixm:Surface></aixm:horizontalProjection>"
    )


Limit = tuple[str, str, str]


def limits(lower: Limit = ("GND", "FT", "SFC"), upper: Limit = ("95", "FL", "STD")) -> str:
    """Both vertical limits: value, unit, reference."""
    return "".join(
        f'<aixm:{side}Limit uom="{unit}">{value}</aixm:{side}Limit>'
        f"<aixm:{side}LimitReference>{reference}</aixm:{side}LimitReference>"
        for side, (value, unit, reference) in (("upper", upper), ("lower", lower))
    )


def component(volume: str, operation: str = "BASE", sequence: int = 1) -> str:
    """One part of an airspace."""
    return (
        "<aixm:geometryComponent><aixm:AirspaceGeometryComponent>"
        f"<aixm:operation>{operation}</aixm:operation>"
        f"<aixm:operationSequence>{sequence}</aixm:operationSequence><aixm:theAirspaceVolume>"
        f"<aixm:AirspaceVolume>{volume}</aixm:AirspaceVolume></aixm:theAirspaceVolume>"
        "</aixm:AirspaceGeometryComponent></aixm:geometryComponent>"
    )


def contributor(uuid: str, dependency: str = "FULL_GEOMETRY") -> str:
    """A reference to another airspace."""
    return (
        "<aixm:contributorAirspace><aixm:AirspaceVolumeDependency>"
        f"<aixm:dependency>{dependency}</aixm:dependency>"
        f'<aixm:theAirspace xlink:href="urn:uuid:{uuid}"/>'
        "</aixm:AirspaceVolumeDependency></aixm:contributorAirspace>"
    )


def airspace(uuid: str, *parts: str, kind: str = "CTR", name: str = "MARL", **more: str) -> str:
    """An airspace of class D with one baseline."""
    return feature(
        "Airspace",
        uuid,
        time_slice("Airspace", about(kind, name, more.get("letter", "D")) + "".join(parts)),
    )


def about(kind: str, name: str, letter: str) -> str:
    """Type, names and class."""
    return (
        f"<aixm:type>{kind}</aixm:type><aixm:designator>Q{name}</aixm:designator>"
        f"<aixm:name>{name} {kind}</aixm:name><aixm:class><aixm:AirspaceLayerClass>"
        f"<aixm:classification>{letter}</aixm:classification></aixm:AirspaceLayerClass></aixm:class>"
    )


def activation(**sheet: str) -> str:
    """Hours of activity by one time sheet."""
    told = "".join(f"<aixm:{name}>{text}</aixm:{name}>" for name, text in sheet.items())
    return (
        "<aixm:activation><aixm:AirspaceActivation><aixm:timeInterval><aixm:Timesheet>"
        f"{told}</aixm:Timesheet></aixm:timeInterval><aixm:status>ACTIVE</aixm:status>"
        "</aixm:AirspaceActivation></aixm:activation>"
    )


def arc(center: str, radius: str, start: float, end: float, unit: str = "NM") -> str:
    """An arc by its center and two angles."""
    return (
        f'<gml:ArcByCenterPoint numArc="1"><gml:pos>{center}</gml:pos>'
        f'<gml:radius uom="{unit}">{radius}</gml:radius><gml:startAngle uom="deg">{start}'
        f'</gml:startAngle><gml:endAngle uom="deg">{end}</gml:endAngle></gml:ArcByCenterPoint>'
    )


def circle(center: str, radius: str, unit: str = "NM") -> str:
    """A whole circle."""
    return (
        f'<gml:CircleByCenterPoint numArc="1"><gml:pos>{center}</gml:pos>'
        f'<gml:radius uom="{unit}">{radius}</gml:radius></gml:CircleByCenterPoint>'
    )


def line(*places: str) -> str:
    """A string of geodesics."""
    return f"<gml:GeodesicString><gml:posList>{' '.join(places)}</gml:posList></gml:GeodesicString>"


SERVICE: Final = (
    feature(
        "AirTrafficControlService",
        "svc",
        time_slice(
            "AirTrafficControlService",
            '<aixm:call-sign><aixm:CallsignDetail><aixm:callSign>Marl Tower</aixm:callSign>'
            '</aixm:CallsignDetail></aixm:call-sign><aixm:radioCommunication'
            ' xlink:href="urn:uuid:rcc"/><aixm:type>TWR</aixm:type>'
            '<aixm:clientAirport xlink:href="urn:uuid:ad"/>'
            '<aixm:clientAirspace xlink:href="urn:uuid:ctr"/>',
        ),
    ),
    feature(
        "RadioCommunicationChannel",
        "rcc",
        time_slice(
            "RadioCommunicationChannel",
            '<aixm:frequencyTransmission uom="MHZ">118.3</aixm:frequencyTransmission>',
        ),
    ),
)  # fmt: skip
CTR: Final = airspace("ctr", component(limits() + surface(ring(circle("41.1 -130.5", "5")))))


def _direction(uuid: str, name: str, bearing: float, place: str) -> tuple[str, str]:
    return (
        feature(
            "RunwayDirection",
            uuid,
            time_slice(
                "RunwayDirection",
                f"<aixm:designator>{name}</aixm:designator><aixm:trueBearing>{bearing}"
                '</aixm:trueBearing><aixm:usedRunway xlink:href="urn:uuid:rwy"/>',
            ),
        ),
        feature(
            "RunwayCentrelinePoint",
            f"{uuid}-p",
            time_slice(
                "RunwayCentrelinePoint",
                f'<aixm:role>START</aixm:role><aixm:location><aixm:ElevatedPoint srsName="{EPSG}">'
                f'<gml:pos>{place}</gml:pos><aixm:elevation uom="M">33.5</aixm:elevation>'
                "</aixm:ElevatedPoint></aixm:location>"
                f'<aixm:onRunway xlink:href="urn:uuid:{uuid}"/>',
            ),
        ),
    )


AERODROME: Final = (
    feature(
        "AirportHeliport",
        "ad",
        time_slice(
            "AirportHeliport",
            "<aixm:designator>QMRL</aixm:designator><aixm:name>MARL</aixm:name>"
            "<aixm:locationIndicatorICAO>QQML</aixm:locationIndicatorICAO><aixm:type>AH</aixm:type>"
            '<aixm:fieldElevation uom="FT">110</aixm:fieldElevation><aixm:ARP>'
            f'<aixm:ElevatedPoint srsName="{EPSG}"><gml:pos>41.1 -130.5</gml:pos>'
            "</aixm:ElevatedPoint></aixm:ARP>",
        ),
    ),
    feature(
        "Runway",
        "rwy",
        time_slice(
            "Runway",
            "<aixm:designator>09/27</aixm:designator>"
            '<aixm:nominalLength uom="M">1680</aixm:nominalLength>'
            '<aixm:nominalWidth uom="M">30</aixm:nominalWidth><aixm:surfaceProperties>'
            "<aixm:SurfaceCharacteristics><aixm:composition>ASPH</aixm:composition>"
            "</aixm:SurfaceCharacteristics></aixm:surfaceProperties>"
            '<aixm:associatedAirportHeliport xlink:href="urn:uuid:ad"/>',
        ),
    ),
    *_direction("d09", "09", 90.0, "41.1 -130.51"),
    *_direction("d27", "27", 270.0, "41.1 -130.49"),
)
ALL: Final = document(
    CTR,
    airspace(
        "tma",
        component(
            limits(("1350", "M", "MSL"), ("UNL", "FT", "STD"))
            + surface(
                ring(
                    line("41.1 -130.5", "41.266 -130.5"),
                    arc("41.1 -130.5", "10", 0, 90),
                    line("41.1 -130.28", "41.1 -130.5"),
                )
            )
        ),
        component(contributor("ctr"), "UNION", 2),
        activation(timeReference="UTC", day="WORK_DAY", startTime="07:00", endTime="17:00"),
        kind="TMA",
    ),
    *SERVICE,
    *AERODROME,
)
