"""Special use airspace as the US subscription has it, invented in the open ocean.

AIXM 5.0 in a message of its own, one document for each area; longitude first, angles from east
to north; the kind in an extension; zip files in each other.
"""

from typing import Final

import nasr_made

CRS: Final = "URN:OGC:DEF:CRS:OGC:1.3:CRS84"
NAMES: Final = (
    'xmlns:saa="urn:us:gov:dot:faa:aim:saa" xmlns:sua="urn:us:gov:dot:faa:aim:saa:sua"'
    ' xmlns:aixm="http://www.aixm.aero/schema/5.0" xmlns:gml="http://www.opengis.net/gml/3.2"'
    ' xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"'
)
LINES: Final = (
    "<gml:LineStringSegment><gml:pos>-131 41</gml:pos><gml:pos>-130.8 41</gml:pos>"
    "<gml:pos>-130.8 41.2</gml:pos><gml:pos>-131 41.2</gml:pos><gml:pos>-131 41</gml:pos>"
    "</gml:LineStringSegment>"
)
CIRCLE: Final = (
    '<gml:CircleByCenterPoint numArc="1"><gml:pointProperty><gml:Point gml:id="P1">'
    "<gml:pos>-131 41</gml:pos></gml:Point></gml:pointProperty>"
    '<gml:radius uom="NM">5</gml:radius></gml:CircleByCenterPoint>'
)
# From 5 NM east of the center over north to 5 NM west of it, and straight back.
HALF: Final = (
    '<gml:ArcByCenterPoint numArc="1"><gml:pointProperty><gml:Point gml:id="P2">'
    "<gml:pos>-131 41</gml:pos></gml:Point></gml:pointProperty>"
    '<gml:radius uom="NM">5</gml:radius><gml:startAngle uom="deg">0</gml:startAngle>'
    '<gml:endAngle uom="deg">180</gml:endAngle></gml:ArcByCenterPoint>'
)


def limit(side: str, value: str, unit: str, reference: str) -> str:
    """One vertical limit."""
    return (
        f'<aixm:{side}Limit uom="{unit}">{value}</aixm:{side}Limit>'
        f"<aixm:{side}LimitReference>{reference}</aixm:{side}LimitReference>"
    )


FT: Final = limit("upper", "17999", "FT", "MSL") + limit("lower", "500", "FT", "SFC")
UNL: Final = limit("upper", "UNL", "OTHER", "OTHER") + limit("lower", "GND", "OTHER", "OTHER")


def component(segments: str, limits: str = FT, operation: str = "BASE", number: int = 1) -> str:
    """One part of an area."""
    return (
        '<aixm:geometryComponent><aixm:AirspaceGeometryComponent gml:id="G">'
        f"<aixm:operation>{operation}</aixm:operation>"
        f"<aixm:operationSequence>{number}</aixm:operationSequence><aixm:theAirspaceVolume>"
        f'<aixm:AirspaceVolume gml:id="V">{limits}<aixm:horizontalProjection>'
        f'<aixm:Surface gml:id="S" srsName="{CRS}"><gml:patches><gml:PolygonPatch><gml:exterior>'
        '<gml:Ring><gml:curveMember><gml:Curve gml:id="C"><gml:segments>'
        f"{segments}</gml:segments></gml:Curve></gml:curveMember></gml:Ring></gml:exterior>"
        "</gml:PolygonPatch></gml:patches></aixm:Surface></aixm:horizontalProjection>"
        "</aixm:AirspaceVolume></aixm:theAirspaceVolume></aixm:AirspaceGeometryComponent>"
        "</aixm:geometryComponent>"
    )


def document(kind: str, name: str, *components: str, designator: str = "") -> bytes:
    """One area with the service that answers for it."""
    area = (
        '<aixm:Airspace gml:id="Airspace1"><gml:identifier codeSpace="x">A1</gml:identifier>'
        '<aixm:timeSlice><aixm:AirspaceTimeSlice gml:id="T1"><gml:validTime>'
        '<gml:TimePeriod gml:id="T2"><gml:beginPosition>2020-01-02T09:01:00Z</gml:beginPosition>'
        '<gml:endPosition indeterminatePosition="unknown"/></gml:TimePeriod></gml:validTime>'
        "<aixm:interpretation>BASELINE</aixm:interpretation>"
        "<aixm:sequenceNumber>1</aixm:sequenceNumber><aixm:correctionNumber>0"
        f"</aixm:correctionNumber><aixm:type>OTHER</aixm:type><aixm:designator>{designator}"
        f"</aixm:designator><aixm:name>{name}</aixm:name>{''.join(components)}"
        '<aixm:annotation><aixm:Note gml:id="N1"><aixm:propertyName>legalDefinitionType'
        '</aixm:propertyName><aixm:translatedNote><aixm:LinguisticNote gml:id="N2">'
        "<aixm:note>Times of use. Monday to Friday, 1600-2400 UTC.</aixm:note>"
        "</aixm:LinguisticNote></aixm:translatedNote></aixm:Note></aixm:annotation>"
        f"<aixm:extension><sua:AirspaceExtension><sua:suaType>{kind}</sua:suaType>"
        "<saa:administrativeArea>OCEAN</saa:administrativeArea></sua:AirspaceExtension>"
        "</aixm:extension></aixm:AirspaceTimeSlice></aixm:timeSlice></aixm:Airspace>"
    )
    members = "".join(f"<saa:hasMember>{one}</saa:hasMember>" for one in (area, *SERVICE))
    text = f'<?xml version="1.0"?>\n<saa:SaaMessage {NAMES} gml:id="M1">{members}</saa:SaaMessage>'
    return text.encode()


def _feature(kind: str, name: str, body: str) -> str:
    return (
        f'<aixm:{kind} gml:id="{name}"><gml:identifier codeSpace="x">{name}</gml:identifier>'
        f"<aixm:timeSlice><aixm:{kind}TimeSlice><aixm:interpretation>BASELINE"
        f"</aixm:interpretation>{body}</aixm:{kind}TimeSlice></aixm:timeSlice></aixm:{kind}>"
    )


SERVICE: Final = (
    _feature("Unit", "Unit1", "<aixm:name>QZZ CENTER</aixm:name><aixm:type>ARTCC</aixm:type>"),
    _feature(
        "RadioCommunicationChannel",
        "Radio1",
        '<aixm:frequencyTransmission uom="MHZ">125.3</aixm:frequencyTransmission>',
    ),
    _feature(
        "AirTrafficControlService",
        "Service1",
        '<aixm:serviceProvider xlink:href="#Unit1"/>'
        '<aixm:radioCommunication xlink:href="#Radio1"/>'
        '<aixm:clientAirspace xlink:href="#Airspace1"/><aixm:type>ACS</aixm:type>',
    ),
)
PARTS: Final = (
    component(LINES),
    component(CIRCLE, UNL, "SUBTR", 2),
    component(HALF, UNL, "UNION", 3),
)
DOCUMENTS: Final = {
    "GANNET MOA, OC.xml": document("MOA", "GANNET MOA", component(LINES)),
    "R-9901 SPLIT ROCK, OC.xml": document(
        "RA", "R-9901 SPLIT ROCK", component(CIRCLE, UNL), designator="R9901"
    ),
    "W-990, OC.xml": document("WA", "W-990", component(HALF)),
    "P-99, OC.xml": document("PA", "P-99", component(CIRCLE)),
    "A-990, OC.xml": document("AA", "A-990", component(CIRCLE)),
    "MARL NSA, OC.xml": document("NSA", "MARL NSA", component(CIRCLE)),
}


def subscription_zip(documents: dict[str, bytes] = DOCUMENTS) -> bytes:
    """The areas in a zip file, in another with the schema, in the one that is published."""
    schema = {"schema/SAA.xsd": b'<?xml version="1.0"?><schema xmlns:aixm="x"/>'}
    inner = nasr_made.zip_of({"Saa_Sub_File.zip": nasr_made.zip_of(documents), **schema})
    return nasr_made.zip_of({"SAA-AIXM_5_Schema/SaaSubscriberFile.zip": inner})
