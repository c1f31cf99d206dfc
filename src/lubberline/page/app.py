"""The routes of the local page. Reports are made when asked for; looking changes nothing.

A refusal is a page with its whole message, or ``{"error": message}`` where JSON was asked for.
Only this machine's own names are answered, so that another site's page cannot reach in by a name
of its own, and nothing that is answered may be framed or read from elsewhere.
"""

from collections.abc import Awaitable, Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.middleware.trustedhost import TrustedHostMiddleware
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response
from starlette.exceptions import HTTPException

from lubberline.errors import LubberlineError, NoSolution
from lubberline.flight import latest_pledge
from lubberline.line import finding_record, verdict_sentence
from lubberline.loop import Courses
from lubberline.page.assembly import flight_report, gather
from lubberline.page.folder import flight_folder, flight_names, recording_named, recordings_in
from lubberline.page.render import folder_html, report_html
from lubberline.page.view import FlightEntry, FolderPage, Link
from lubberline.wording import CAUTION

LOCAL_HOSTS: Final = ["127.0.0.1", "localhost"]
HEADERS: Final = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
NOTHING_YET: Final = "No flight yet: a flight is a folder in flights/ with a flight.toml."


def build_app(home: Path) -> FastAPI:
    """The application for one pilot's folder."""
    app = FastAPI(title="Lubberline", docs_url=None, redoc_url=None, openapi_url=None)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=LOCAL_HOSTS)
    app.middleware("http")(_with_headers)
    app.add_exception_handler(LubberlineError, _refused)
    app.add_exception_handler(HTTPException, _refused)
    app.add_exception_handler(RequestValidationError, _refused)
    _add_pages(app, home)
    _add_data(app, home)
    return app


def _add_pages(app: FastAPI, home: Path) -> None:
    @app.get("/", response_class=HTMLResponse)
    def flights() -> str:
        """The folder's flights, newest first."""
        entries = tuple(_entry(home, name) for name in flight_names(home))
        note = "" if entries else NOTHING_YET
        return folder_html(FolderPage(title="Flights", flights=entries, note=note, caution=CAUTION))

    @app.get("/flights/{name}", response_class=HTMLResponse)
    def flight(name: str, way: int | None = None, recording: str | None = None) -> str:
        """One flight's report, with a recording if one lies in its folder."""
        folder = flight_folder(home, name)
        page = flight_report(folder, recording_named(folder, recording), way)
        links = (Link(label="All flights", target="/"), *_links(home, name))
        others = tuple(
            Link(label=f"Choose way {one.number}", target=f"{_target(name)}?way={one.number}")
            for one in page.ways
            if not one.chosen
        )
        return report_html(replace(page, links=(*links, *others)))


def _add_data(app: FastAPI, home: Path) -> None:
    @app.get("/flights/{name}/card.pdf")
    def card(name: str) -> FileResponse:
        """The card that was printed last, as it was printed."""
        folder = flight_folder(home, name)
        printed = latest_pledge(folder)
        if printed is None:
            raise NoSolution(f"no card of {name} was printed; print one with: lubberline card")
        path = folder / f"card-{printed[1].sha256[:12]}.pdf"
        if not path.exists():
            raise NoSolution(f"{path.name} is not in the folder of {name} any more")
        return FileResponse(path, media_type="application/pdf")

    @app.get("/flights/{name}/findings.json")
    def findings(name: str, way: int | None = None, recording: str | None = None) -> dict[str, Any]:
        """The findings that the report shows."""
        folder = flight_folder(home, name)
        found = gather(folder, recording_named(folder, recording), way)
        return {
            "flight": found.prepared.plan.flight.title,
            "way": found.prepared.way.name,
            "sentence": verdict_sentence(found.prepared.findings),
            "findings": [finding_record(finding) for finding in found.prepared.findings],
            "flown": found.judged.record() if found.judged is not None else None,
            "drift": _drift_record(found.courses),
            "caution": CAUTION,
        }


def _drift_record(courses: Courses | None) -> dict[str, Any] | None:
    """The measure told of with its flights, and all of them without."""
    if courses is None or courses.told is None:
        return None
    return courses.told.record() | {"measures": [one.summary() for one in courses.drifted]}


def _entry(home: Path, name: str) -> FlightEntry:
    """A flight in the list, with what has become of it so far."""
    folder = flight_folder(home, name)
    recordings = recordings_in(folder)
    state = "card printed" if _is_printed(folder) else "no card printed"
    others = tuple(
        Link(label=f"With {one}", target=f"{_target(name)}?recording={quote(one, safe='')}")
        for one in recordings[1:]
    )
    return FlightEntry(
        name=name,
        target=_target(name),
        state=f"{state}, {', '.join(recordings) or 'no recording'}",
        links=(*others, *_links(home, name)),
    )


def _links(home: Path, name: str) -> tuple[Link, ...]:
    findings = Link(label="Findings as JSON", target=f"{_target(name)}/findings.json")
    card = Link(label="Card as PDF", target=f"{_target(name)}/card.pdf")
    return (card, findings) if _is_printed(flight_folder(home, name)) else (findings,)


def _is_printed(folder: Path) -> bool:
    return any(folder.glob("pledge-*.json"))


def _target(name: str) -> str:
    return f"/flights/{quote(name, safe='')}"


async def _with_headers(
    request: Request, call_next: Callable[[Request], Awaitable[Response]]
) -> Response:
    response = await call_next(request)
    response.headers.update(HEADERS)
    return response


def _refused(request: Request, error: Exception) -> Response:
    """Every refusal in one of two shapes."""
    status, message = _status(error)
    if request.url.path.endswith(".json"):
        return JSONResponse({"error": message}, status_code=status)
    page = FolderPage(title="Refused", problem=message)
    return HTMLResponse(folder_html(page), status_code=status)


def _status(error: Exception) -> tuple[int, str]:
    """What kind of refusal it is, and its words."""
    if isinstance(error, HTTPException):
        return error.status_code, f"{error.detail}; begin at /"
    if isinstance(error, RequestValidationError):
        first = error.errors()[0]
        return 422, f"{first['loc'][-1]} is {first['input']!r}: {first['msg']}"
    return (404 if isinstance(error, NoSolution) else 422), str(error)
