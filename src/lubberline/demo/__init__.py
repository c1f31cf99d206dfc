"""The invented region, airplane, pilot and flights, and the starter folder made of them."""

from lubberline.demo.flights import FLIGHTS, DemoFlight
from lubberline.demo.folder import record, write_flight, write_folder

__all__ = ["FLIGHTS", "DemoFlight", "record", "write_flight", "write_folder"]
