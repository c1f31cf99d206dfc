"""The search for ways: tracks from a graph, heights laid exactly, every answer checked."""

from lubberline.ways.search.find import (
    MOST_FACILITIES,
    MOST_WAYS,
    different_ways,
    find_way,
    find_ways,
)

__all__ = ["MOST_FACILITIES", "MOST_WAYS", "different_ways", "find_way", "find_ways"]
