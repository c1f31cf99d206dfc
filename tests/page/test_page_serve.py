"""The local page answers this machine only, shows refusals whole, and changes nothing."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from lubberline.page import make_app


@pytest.fixture
def client(flight_folder: Path) -> TestClient:
    return TestClient(make_app(flight_folder.parents[1]))


def test_the_first_page_lists_the_flights(client: TestClient, flight_folder: Path) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert f"/flights/{flight_folder.name}" in answer.text


def test_a_flight_is_its_report(client: TestClient, flight_folder: Path) -> None:
    answer = client.get(f"/flights/{flight_folder.name}")
    assert answer.status_code == 200
    assert "Flown: against the pledge" in answer.text


def test_findings_are_the_same_as_json(client: TestClient, flight_folder: Path) -> None:
    found = client.get(f"/flights/{flight_folder.name}/findings.json").json()
    assert found["sentence"].startswith(f"Of {len(found['findings'])} checks")


@pytest.mark.parametrize("name", ["absent", "..%2f..%2fetc", "%2fetc%2fpasswd"])
def test_another_name_has_no_flight(client: TestClient, name: str) -> None:
    assert client.get(f"/flights/{name}").status_code == 404


def test_a_wrong_way_is_refused_in_one_shape(client: TestClient, flight_folder: Path) -> None:
    page = client.get(f"/flights/{flight_folder.name}?way=9")
    data = client.get(f"/flights/{flight_folder.name}/findings.json?way=9")
    assert page.status_code == data.status_code == 422
    assert "expected 1 to 3" in page.text
    assert "expected 1 to 3" in data.json()["error"]


def test_another_host_name_is_refused(flight_folder: Path) -> None:
    client = TestClient(make_app(flight_folder.parents[1]), base_url="http://example.org")
    assert client.get("/").status_code == 400


def test_an_empty_folder_says_what_a_flight_is(tmp_path: Path) -> None:
    assert "No flight yet" in TestClient(make_app(tmp_path)).get("/").text
