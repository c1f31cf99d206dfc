"""The database of flights and findings."""

from lubberline.store.copies import Checked, backup_store, check_store, restore_store
from lubberline.store.flights import (
    add_flight,
    find_flight,
    findings_of,
    flights_between,
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
    StoredMovement,
)
from lubberline.store.open import Store, open_store
from lubberline.store.plain import Brought, export_flights, import_flights

__all__ = [
    "Added",
    "AlreadyThere",
    "Brought",
    "Checked",
    "MeasureKey",
    "MeasuredFlight",
    "NewFlight",
    "Store",
    "StoredFlight",
    "StoredMovement",
    "add_flight",
    "backup_store",
    "check_store",
    "export_flights",
    "find_flight",
    "findings_of",
    "flights_between",
    "import_flights",
    "list_flights",
    "measure_keys",
    "measures",
    "open_store",
    "pledge_of",
    "recording_of",
    "remove_flight",
    "restore_store",
]
