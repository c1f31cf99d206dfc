"""The report as one HTML file, its pictures, and the local page."""

from lubberline.page.assembly import Gathered, flight_report, gather, write_drift, write_report
from lubberline.page.flown_part import Debrief
from lubberline.page.picture_files import write_pictures
from lubberline.page.render import report_html
from lubberline.page.report import PrintedCard, make_report
from lubberline.page.serve import make_app, serve_folder
from lubberline.page.view import ReportPage

__all__ = [
    "Debrief",
    "Gathered",
    "PrintedCard",
    "ReportPage",
    "flight_report",
    "gather",
    "make_app",
    "make_report",
    "report_html",
    "serve_folder",
    "write_drift",
    "write_pictures",
    "write_report",
]
