"""What a request may cost, and what comes of it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from lubberline.errors import LubberlineError


class NoAnswer(LubberlineError):  # noqa: N818 - named after what is missing
    """A service gave nothing that can be used; ``reason`` says why in a few words."""

    def __init__(self, url: str, reason: str) -> None:
        self.url = url
        self.reason = reason
        super().__init__(f"no answer from {url}: {reason}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to wait for what, and how often to ask again.

    The first wait doubles from one attempt to the next and never exceeds ``most_wait_s``, also
    where the service asks for more. ``apart_s`` is the least time between two requests to one
    host.
    """

    connect_s: float = 5.0
    silence_s: float = 20.0
    whole_s: float = 60.0
    attempts_count: int = 3
    first_wait_s: float = 1.0
    most_wait_s: float = 30.0
    apart_s: float = 1.0

    def wait_s(self, attempt_index: int) -> float:
        """The pause after a failed attempt, the first being 0 [s]."""
        return min(self.first_wait_s * 2.0**attempt_index, self.most_wait_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched:
    """An answer and when it was given. ``stale_reason`` says why no newer one could be had."""

    content: bytes
    fetched_utc: datetime
    stale_reason: str = ""

    def age(self, now_utc: datetime) -> timedelta:
        """How old the answer is."""
        return now_utc - self.fetched_utc


@dataclass(frozen=True, slots=True, kw_only=True)
class Downloaded:
    """A file that is whole; ``kept_count`` bytes of it came from an earlier, broken run."""

    path: Path
    size_count: int
    kept_count: int = 0
    unchanged: bool = False
