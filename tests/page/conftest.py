"""Gives the tests of the page what they share in a browser."""

from page.browsing import bench, browser, served, turning, waves

__all__ = ["bench", "browser", "served", "turning", "waves"]
