"""What a way costs: rent by the clock that counts, fuel unless the rent holds it."""

from decimal import Decimal
from pathlib import Path

import pytest

from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.flight import FLIGHT_FILE, Cost, read_plan
from lubberline.ways import price_of


def total(cost: Cost) -> Decimal:
    price = price_of(cost, block_min=90.0, air_min=60.0, fuel_gal=10.0)
    assert price is not None
    return price.total


@pytest.mark.parametrize(
    ("cost", "money"),
    [
        (Cost(rental_per_h=100.0), "150.00"),
        (Cost(rental_per_h=100.0, counts="air"), "100.00"),
        (Cost(rental_per_h=100.0, fuel_price_per_gal=6.4), "214.00"),
        (Cost(rental_per_h=100.0, fuel_price_per_gal=6.4, fuel_included=True), "150.00"),
        (Cost(fuel_price_per_gal=6.405), "64.05"),
        (Cost(), "0.00"),
    ],
)
def test_rent_and_fuel_are_summed(cost: Cost, money: str) -> None:
    assert total(cost) == Decimal(money)


def test_without_rates_there_is_no_price() -> None:
    assert price_of(None, block_min=90.0, air_min=60.0, fuel_gal=10.0) is None


def test_fuel_included_in_no_rent_is_refused_with_its_line(tmp_path: Path) -> None:
    path = write_folder(tmp_path / "folder")
    flight = path / FLIGHT_FILE
    text = flight.read_text(encoding="utf-8")
    text = text.replace("rental_per_h = 165", "fuel_included = true\n# was a rent")
    flight.write_text(text, encoding="utf-8")
    with pytest.raises(BadFile, match=r"fuel_included: found True, expected rental_per_h"):
        read_plan(path)
