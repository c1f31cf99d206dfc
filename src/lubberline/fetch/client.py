"""Asks services for small answers: polite, patient within limits, never without a reason.

A request is tried again after a time-out, a broken connection, a truncated or senseless
answer, "too many requests" and server errors; not after any other refusal. Where nothing can
be had, the last kept answer is given with the reason and its age.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Final

from lubberline.fetch.cache import Cache
from lubberline.fetch.model import Fetched, NoAnswer, Patience

if TYPE_CHECKING:
    import httpx2

MOST_ANSWER_BYTES: Final = 64 * 2**20  # own: ten times the largest published table
NO_CONNECTION: Final = "no connection"
_NOTHING: Final = 204  # the service's way to say that there is no such report
_ASK_AGAIN: Final = frozenset({408, 425, 429, 500, 502, 503, 504})  # RFC 9110, section 15


@dataclass(slots=True)
class Client:
    """Asks, keeps answers in ``cache`` and waits between requests. Close it, or use ``with``.

    ``sleep`` and ``now`` are there for tests.
    """

    cache: Cache
    patience: Patience = field(default_factory=Patience)
    sleep: Callable[[float], None] = time.sleep
    now: Callable[[], datetime] = lambda: datetime.now(UTC)
    _http: httpx2.Client | None = None
    _asked_s: dict[str, float] = field(default_factory=dict)

    def __enter__(self) -> Client:
        """The client itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the connections."""
        if self._http is not None:
            self._http.close()

    def fetch(
        self,
        url: str,
        params: Mapping[str, str] | None = None,
        *,
        fresh_for: timedelta = timedelta(minutes=1),
        check: Callable[[bytes], object] | None = None,
        offline_reason: str = "",
    ) -> Fetched:
        """The answer of a service, from the cache while it is fresh.

        Parameters
        ----------
        url : str
        params : mapping, optional
            What is asked, as the part of the address after "?".
        fresh_for : timedelta
            Age up to which the kept answer is given without asking.
        check : callable, optional
            Raises ValueError for an answer that makes no sense.
        offline_reason : str, optional
            Why the service is not to be asked at all: what was kept must do.

        Raises
        ------
        NoAnswer
            If nothing can be had and nothing was kept.
        """
        import httpx2

        whole_url = str(httpx2.URL(url, params=dict(params or {})))
        kept = self.cache.read(whole_url)
        if kept is not None and timedelta(0) <= kept.age(self.now()) < fresh_for:
            return kept
        try:
            if offline_reason:
                raise NoAnswer(whole_url, offline_reason)
            answer = Fetched(content=self._patiently(whole_url, check), fetched_utc=self.now())
        except NoAnswer as exc:
            if kept is None:
                raise
            return replace(kept, stale_reason=exc.reason)
        self.cache.write(whole_url, answer)
        return answer

    def http(self) -> httpx2.Client:
        """The connections, opened at the first request."""
        import httpx2

        if self._http is None:
            wait = self.patience
            self._http = httpx2.Client(
                timeout=httpx2.Timeout(wait.silence_s, connect=wait.connect_s),
                headers={"User-Agent": "lubberline (flight planning aid)"},
                follow_redirects=True,
            )
        return self._http

    def take_turn(self, host: str) -> None:
        """Wait until the host may be asked again."""
        early_s = self._asked_s.get(host, -1e9) + self.patience.apart_s - time.monotonic()
        if early_s > 0.0:
            self.sleep(early_s)
        self._asked_s[host] = time.monotonic()

    def _patiently(self, url: str, check: Callable[[bytes], object] | None) -> bytes:
        reason = ""
        for attempt_index in range(self.patience.attempts_count):
            content, reason, wait_s = self._once(url, check)
            if content is not None:
                return content
            if wait_s is None:
                break
            if attempt_index + 1 < self.patience.attempts_count:
                self.sleep(max(wait_s, self.patience.wait_s(attempt_index)))
        raise NoAnswer(url, reason)

    def _once(
        self, url: str, check: Callable[[bytes], object] | None
    ) -> tuple[bytes | None, str, float | None]:
        """The content; else why not, and how long to wait at least (None: do not ask again)."""
        import httpx2

        self.take_turn(httpx2.URL(url).host)
        try:
            with self.http().stream("GET", url) as response:
                if response.status_code == _NOTHING:
                    return b"", "", None
                if response.status_code != 200:
                    return None, refusal(response), self.asked_to_wait_s(response)
                content = self._within_limits(response)
            if check is not None:
                check(content)
        except httpx2.InvalidURL as exc:
            return None, f"not an address: {exc}", None
        except (httpx2.HTTPError, _TooMuch) as exc:
            return None, why(exc), 0.0
        except ValueError as exc:
            return None, f"the answer makes no sense: {exc}", 0.0
        return content, "", None

    def _within_limits(self, response: httpx2.Response) -> bytes:
        begun_s, parts, size_count = time.monotonic(), [], 0
        for part in response.iter_bytes():
            size_count += len(part)
            if size_count > MOST_ANSWER_BYTES:
                raise _TooMuch(f"more than {MOST_ANSWER_BYTES // 2**20} MB")
            if time.monotonic() - begun_s > self.patience.whole_s:
                raise _TooMuch(f"not finished after {self.patience.whole_s:g} s")
            parts.append(part)
        return b"".join(parts)

    def asked_to_wait_s(self, response: httpx2.Response) -> float | None:
        """How long a refusal asks to wait [s]; None if asking again is of no use."""
        if response.status_code not in _ASK_AGAIN:
            return None
        text = response.headers.get("Retry-After", "")
        return (
            min(float(text), self.patience.most_wait_s)
            if text.isascii() and text.isdigit()
            else 0.0
        )


class _TooMuch(Exception):  # noqa: N818 - of bytes or of time
    """An answer that passes a limit."""


def refusal(response: httpx2.Response) -> str:
    """The refusal of a service in words."""
    return f"refused with {response.status_code} {response.reason_phrase}".rstrip()


def why(exc: Exception) -> str:
    """A failed request in words."""
    import httpx2

    if isinstance(exc, httpx2.ConnectError | httpx2.ConnectTimeout):
        return NO_CONNECTION
    if isinstance(exc, httpx2.TimeoutException):
        return "no word in time"
    return f"broken off: {exc}" if f"{exc}" else "broken off"
