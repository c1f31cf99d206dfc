"""The invented region, airplane, pilot and flights, and the folders made of them."""

from lubberline.demo.flights import FLIGHTS, DemoFlight
from lubberline.demo.folder import write_demo, write_folder
from lubberline.demo.records import record, record_way, way_of
from lubberline.demo.truth import Faults, Truth

__all__ = [
    "FLIGHTS",
    "DemoFlight",
    "Faults",
    "Truth",
    "record",
    "record_way",
    "way_of",
    "write_demo",
    "write_folder",
]
