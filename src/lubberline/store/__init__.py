"""The database of flights and findings."""

from lubberline.store.flights import (
    add_flight,
    find_flight,
    findings_of,
    list_flights,
    measure_keys,
    measures,
    pledge_of,
    recording_of,
    remove_flight,
)
from lubberline.store.model import (
    Added,
    AlreadyThere,
    MeasuredFlight,
    MeasureKey,
    NewFlight,
    StoredFlight,
)
from lubberline.store.open import Store, open_store

__all__ = [
    "Added",
    "AlreadyThere",
    "MeasureKey",
    "MeasuredFlight",
    "NewFlight",
    "Store",
    "StoredFlight",
    "add_flight",
    "find_flight",
    "findings_of",
    "list_flights",
    "measure_keys",
    "measures",
    "open_store",
    "pledge_of",
    "recording_of",
    "remove_flight",
]
