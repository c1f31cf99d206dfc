"""A service on this machine that answers, refuses, dawdles and breaks off as it is told."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

Answer = Callable[[BaseHTTPRequestHandler], None]


@dataclass
class Service:
    """Answers by path: one after another, the last one again and again."""

    url: str = ""
    answers: dict[str, list[Answer]] = field(default_factory=dict)
    asked: list[tuple[str, dict[str, str]]] = field(default_factory=list)

    def say(self, path: str, *answers: Answer) -> str:
        """Set what a path answers; the whole address is given back."""
        self.answers[path] = list(answers)
        return f"{self.url}{path}"


def content(body: bytes, *, status: int = 200, length: int | None = None, **headers: str) -> Answer:
    """An answer that claims ``length`` bytes, by default as many as it has."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        for name, text in headers.items():
            handler.send_header(name.replace("_", "-"), text)
        if status != 204:
            handler.send_header("Content-Length", str(len(body) if length is None else length))
        handler.end_headers()
        handler.wfile.write(body)

    return answer


def slow(body: bytes, *, pause_s: float) -> Answer:
    """An answer whose bytes come one by one."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        for byte in body:
            time.sleep(pause_s)
            handler.wfile.write(bytes([byte]))

    return answer


def stored(body: bytes, *, tag: str, break_after: int | None = None) -> Answer:
    """A file on a server that knows ranges and versions, as RFC 9110 has it."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        headers = handler.headers
        if headers.get("If-None-Match") == tag:
            content(b"", status=304)(handler)
            return
        begin = 0
        if headers.get("Range") and headers.get("If-Range") == tag:
            begin = int(headers["Range"].removeprefix("bytes=").removesuffix("-"))
        if begin >= len(body):
            content(b"", status=416)(handler)
            return
        rest = body[begin:]
        end = None if break_after is None else break_after
        content(rest[:end], status=206 if begin else 200, length=len(rest), ETag=tag)(handler)

    return answer


@contextmanager
def serving() -> Iterator[Service]:
    """A service for as long as the block runs."""
    service = Service()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            service.asked.append((self.path, dict(self.headers)))
            answers = service.answers.get(self.path.partition("?")[0])
            if not answers:
                content(b"", status=404)(self)
                return
            try:
                (answers.pop(0) if len(answers) > 1 else answers[0])(self)
            except (BrokenPipeError, ConnectionResetError):
                self.close_connection = True

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    service.url = f"http://127.0.0.1:{server.server_port}"
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield service
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
