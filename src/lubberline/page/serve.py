"""The local page: a folder's flights as reports, on this machine only.

Reports are made when they are asked for; nothing is printed, kept or changed by looking. A
refusal becomes a page (or one JSON shape) with its whole message.
"""

from pathlib import Path
from typing import Final

from fastapi import FastAPI, Request
from fastapi.middleware.trustedhost import TrustedHostMiddleware
from fastapi.responses import HTMLResponse, JSONResponse, Response

from lubberline.errors import LubberlineError, NoSolution
from lubberline.flight import FLIGHT_FILE
from lubberline.line import finding_record, verdict_sentence
from lubberline.loop import prepare
from lubberline.page.assembly import flight_report
from lubberline.page.report import report_html, shell_html
from lubberline.wording import CAUTION

LOCAL_HOSTS: Final = ("127.0.0.1", "localhost", "testserver")
RECORDINGS: Final = (".gpx", ".igc", ".csv")


def make_app(home: Path) -> FastAPI:
    """The application for one pilot's folder."""
    app = FastAPI(title="Lubberline", docs_url=None, redoc_url=None, openapi_url=None)
    # Only this machine's own names: another site's page must not reach in by a name of its own.
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=list(LOCAL_HOSTS))

    @app.exception_handler(LubberlineError)
    def refused(request: Request, error: LubberlineError) -> Response:
        status = 404 if isinstance(error, NoSolution) else 422
        if request.url.path.endswith(".json"):
            return JSONResponse({"error": str(error)}, status_code=status)
        return HTMLResponse(shell_html("Refused", problem=str(error)), status_code=status)

    @app.get("/", response_class=HTMLResponse)
    def flights() -> str:
        """The folder's flights, newest first."""
        return shell_html("Flights", flights=flight_names(home), caution=CAUTION)

    @app.get("/flights/{name}", response_class=HTMLResponse)
    def flight(name: str, way: int | None = None) -> str:
        """One flight's report, with its recording if one lies in its folder."""
        folder = flight_folder(home, name)
        return report_html(flight_report(folder, recording_in(folder), way))

    @app.get("/flights/{name}/findings.json")
    def findings(name: str, way: int | None = None) -> dict[str, object]:
        """The findings that the report shows."""
        prepared = prepare(flight_folder(home, name), way)
        return {
            "flight": prepared.plan.flight.title,
            "way": prepared.way.name,
            "sentence": verdict_sentence(prepared.findings),
            "findings": [finding_record(finding) for finding in prepared.findings],
            "caution": CAUTION,
        }

    return app


def serve_folder(directory: Path, *, port: int) -> None:
    """Answer on 127.0.0.1 until stopped."""
    import uvicorn

    uvicorn.run(make_app(directory), host="127.0.0.1", port=port, log_level="warning")


def flight_names(home: Path) -> list[str]:
    """Names of the flights in a folder, newest name first."""
    found = (home / "flights").glob(f"*/{FLIGHT_FILE}")
    return sorted((path.parent.name for path in found), reverse=True)


def flight_folder(home: Path, name: str) -> Path:
    """The folder of a flight that is in the list; any other name has none."""
    if name not in flight_names(home):
        raise NoSolution(f"there is no flight {name!r} in {home}")
    return home / "flights" / name


def recording_in(folder: Path) -> Path | None:
    """The first file in a flight's folder that a recorder may have written."""
    found = sorted(path for path in folder.iterdir() if path.suffix.lower() in RECORDINGS)
    return found[0] if found else None
