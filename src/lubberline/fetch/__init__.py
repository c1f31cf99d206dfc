"""The one door to the network: polite requests, a cache that tells its age, resumed downloads."""

from lubberline.fetch.addresses import Addresses, read_addresses
from lubberline.fetch.cache import Cache
from lubberline.fetch.client import MOST_ANSWER_BYTES, NO_CONNECTION, Client
from lubberline.fetch.download import download
from lubberline.fetch.model import Downloaded, Fetched, NoAnswer, Patience

__all__ = [
    "MOST_ANSWER_BYTES",
    "NO_CONNECTION",
    "Addresses",
    "Cache",
    "Client",
    "Downloaded",
    "Fetched",
    "NoAnswer",
    "Patience",
    "download",
    "read_addresses",
]
