"""The local page answers this machine only, shows refusals whole, and changes nothing."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from lubberline.page import Gathered, ReportPage, make_app, serve_folder

HERE = "http://127.0.0.1:8041"


@pytest.fixture
def client(flight_folder: Path) -> TestClient:
    return TestClient(make_app(flight_folder.parents[1]), base_url=HERE)


@pytest.fixture
def flight(flight_folder: Path) -> str:
    return f"/flights/{flight_folder.name}"


def test_the_first_page_lists_the_flights(client: TestClient, flight: str) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert f'href="{flight}"' in answer.text
    assert "card printed, recording.csv" in answer.text


def test_a_flight_is_its_report(client: TestClient, flight: str, page: ReportPage) -> None:
    answer = client.get(flight)
    assert answer.status_code == 200
    assert page.sentence in answer.text
    assert page.flown is not None
    assert page.flown.sentences[0] in answer.text
    for target in ("/", f"{flight}/card.pdf", f"{flight}/findings.json", f"{flight}?way=1"):
        assert f'href="{target}"' in answer.text


def test_the_card_is_the_file_that_was_printed(
    client: TestClient, flight: str, flight_folder: Path
) -> None:
    answer = client.get(f"{flight}/card.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content == next(flight_folder.glob("card-*.pdf")).read_bytes()


def test_findings_are_those_of_the_report(
    client: TestClient, flight: str, gathered: Gathered
) -> None:
    found = client.get(f"{flight}/findings.json").json()
    assert found["way"] == gathered.prepared.way.name
    assert len(found["findings"]) == len(gathered.prepared.findings)
    assert gathered.judged is not None
    assert found["flown"]["findings"] == gathered.judged.record()["findings"]
    assert found["drift"]["word"] == "too early to say"


@pytest.mark.parametrize(
    "name", ["absent", "%2e%2e", "..%2f..%2fetc", "%2fetc%2fpasswd", "..%5c..", "%00"]
)
@pytest.mark.parametrize("rest", ["", "/card.pdf", "/findings.json"])
def test_another_name_has_no_flight(client: TestClient, name: str, rest: str) -> None:
    assert client.get(f"/flights/{name}{rest}").status_code == 404


@pytest.mark.parametrize("name", ["flight.toml", "../../pilot.toml", "/etc/passwd", "absent.gpx"])
def test_only_a_recording_of_the_flight_is_read(client: TestClient, flight: str, name: str) -> None:
    answer = client.get(flight, params={"recording": name})
    assert answer.status_code == 404
    assert "recordings there: recording.csv" in answer.text


@pytest.mark.parametrize(
    ("rest", "status", "words"),
    [
        ("?way=9", 422, "expected 1 to 3"),
        ("?way=0", 422, "expected 1 to 3"),
        ("?way=first", 422, "way is 'first'"),
        ("?recording=absent.gpx", 404, "there is no recording 'absent.gpx'"),
    ],
)
def test_a_refusal_is_a_page_or_json_of_one_shape(
    client: TestClient, flight: str, rest: str, status: int, words: str
) -> None:
    shown, data = client.get(flight + rest), client.get(f"{flight}/findings.json{rest}")
    assert shown.status_code == data.status_code == status
    assert words in shown.text.replace("&#39;", "'")
    assert list(data.json()) == ["error"]
    assert words in data.json()["error"]


def test_a_wrong_file_is_shown_with_every_problem(
    client: TestClient, flight: str, flight_folder: Path
) -> None:
    path = flight_folder / "flight.toml"
    kept = path.read_text(encoding="utf-8")
    try:
        path.write_text(kept.replace("[load_lb]", "wrong = 1\n[load_lb]"), encoding="utf-8")
        answer = client.get(flight)
    finally:
        path.write_text(kept, encoding="utf-8")
    assert answer.status_code == 422
    assert "flight.toml: 1 problem" in answer.text
    assert "wrong" in answer.text


def test_a_path_that_leads_nowhere_has_the_same_shapes(client: TestClient) -> None:
    assert client.get("/nowhere").status_code == 404
    assert "Not Found" in client.get("/nowhere").text
    assert list(client.get("/nowhere.json").json()) == ["error"]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
@pytest.mark.parametrize("rest", ["", "/card.pdf", "/findings.json"])
def test_nothing_can_be_written(client: TestClient, flight: str, method: str, rest: str) -> None:
    assert client.request(method, flight + rest).status_code == 405


def test_looking_changes_no_file(client: TestClient, flight: str, flight_folder: Path) -> None:
    home = flight_folder.parents[1]
    before = {path: path.read_bytes() for path in home.rglob("*") if path.is_file()}
    for path in ("/", flight, f"{flight}/card.pdf", f"{flight}/findings.json"):
        assert client.get(path).status_code == 200
    assert {path: path.read_bytes() for path in home.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1.example.org", "testserver", ""])
def test_another_host_name_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1:8041", "localhost:8041", "localhost"])
def test_this_machine_is_answered(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


def test_no_answer_may_be_framed_kept_or_read_from_elsewhere(
    client: TestClient, flight: str
) -> None:
    for path in ("/", f"{flight}/findings.json", "/nowhere"):
        headers = client.get(path).headers
        assert headers["content-security-policy"] == "frame-ancestors 'none'"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in headers


def test_a_flight_without_a_card_or_recording_says_so(tmp_path: Path, flight_folder: Path) -> None:
    bare = tmp_path / "flights" / "bare"
    bare.mkdir(parents=True)
    (bare / "flight.toml").write_bytes((flight_folder / "flight.toml").read_bytes())
    client = TestClient(make_app(tmp_path), base_url=HERE)
    listed = client.get("/").text
    assert "no card printed, no recording" in listed
    assert "card.pdf" not in listed
    refused = client.get("/flights/bare/card.pdf")
    assert refused.status_code == 404
    assert "lubberline card" in refused.text


def test_every_recording_can_be_chosen(tmp_path: Path) -> None:
    several = tmp_path / "flights" / "several"
    several.mkdir(parents=True)
    for name in ("flight.toml", "a.gpx", "b c.igc"):
        (several / name).touch()
    listed = TestClient(make_app(tmp_path), base_url=HERE).get("/").text
    assert 'href="/flights/several?recording=b%20c.igc"' in listed


def test_an_empty_folder_says_what_a_flight_is(tmp_path: Path) -> None:
    client = TestClient(make_app(tmp_path), base_url=HERE)
    assert "No flight yet" in client.get("/").text


def test_it_listens_on_this_machine_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import uvicorn

    asked: dict[str, object] = {}
    monkeypatch.setattr(uvicorn, "run", lambda _app, **how: asked.update(how))
    serve_folder(tmp_path, port=8041)
    assert (asked["host"], asked["port"]) == ("127.0.0.1", 8041)
