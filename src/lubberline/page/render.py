"""Fills the templates. The file that comes out needs no network and cannot reach one.

The drawing library's script and its data are inside it. A content policy names those scripts by
their hash: nothing else runs, and nothing is loaded from anywhere.
"""

import base64
import hashlib
from functools import lru_cache
from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined

from lubberline.page.drift_view import DriftPage
from lubberline.page.line_svg import ruler_svg
from lubberline.page.view import FolderPage, ReportPage

_POLICY: Final = (
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none';"
    " form-action 'none'; script-src {scripts}"
)


def report_html(page: ReportPage) -> str:
    """One flight's report as one HTML file; text from files is escaped."""
    return _drawn("report.html", page)


def drift_html(page: DriftPage) -> str:
    """The drift part alone, in the same way."""
    return _drawn("drift_page.html", page)


def _drawn(name: str, page: ReportPage | DriftPage) -> str:
    library = drawing_library()
    program = _template_text("page.js") + _template_text("cursor.js")
    return _filled(
        name,
        page=page,
        library=library,
        program=program,
        policy=policy_of(library, program),
        style=_template_text("page.css"),
        ruler=ruler_svg(),
    )


def folder_html(page: FolderPage) -> str:
    """The list of flights, or a refusal, as a page without scripts."""
    style = _template_text("page.css")
    return _filled("shell.html", page=page, policy=policy_of(), style=style)


def policy_of(*scripts: str) -> str:
    """The content policy of a page in which these scripts and nothing else may run."""
    hashes = [base64.b64encode(hashlib.sha256(one.encode()).digest()).decode() for one in scripts]
    named = " ".join(f"'sha256-{one}'" for one in hashes)
    return _POLICY.format(scripts=named or "'none'")


@lru_cache(maxsize=1)
def drawing_library() -> str:
    """The drawing library, as its package ships it."""
    script = files("plotly").joinpath("package_data", "plotly.min.js").read_text(encoding="utf-8")
    return script.replace("</script", "<\\/script")


def _filled(name: str, **values: object) -> str:
    environment = Environment(
        loader=PackageLoader("lubberline.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name).render(**values)


def _template_text(name: str) -> str:
    return files("lubberline.page").joinpath("templates", name).read_text(encoding="utf-8")
