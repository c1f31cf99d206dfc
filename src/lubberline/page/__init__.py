"""The report as one HTML file, its pictures, and the local page."""

from lubberline.page.assembly import flight_report, write_report
from lubberline.page.report import Debrief, ReportPage, make_report, report_html
from lubberline.page.serve import make_app, serve_folder

__all__ = [
    "Debrief",
    "ReportPage",
    "flight_report",
    "make_app",
    "make_report",
    "report_html",
    "serve_folder",
    "write_report",
]
