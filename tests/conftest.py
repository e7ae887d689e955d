"""What the tests of many rooms share: one browser for the session, and the files that every class gets."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from selenium import webdriver

from tests.browser import browser


@pytest.fixture(scope="session")
def started_browser() -> Iterator[tuple[webdriver.Chrome, str]]:
    with browser() as driver:
        yield driver, driver.current_url


@pytest.fixture
def driver(started_browser: tuple[webdriver.Chrome, str]) -> webdriver.Chrome:
    """A browser on the empty page that it started with, whatever the test before showed."""
    driver, first_page = started_browser
    driver.get(first_page)
    return driver


@pytest.fixture(scope="session")
def promised_files() -> frozenset[str]:
    """The names of the files that are written for every class, as they are promised to its editor."""
    return frozenset(
        {
            "record.json",
            "chapters.txt",
            "chapters.vtt",
            "captions.vtt",
            "counter.vtt",
            "audit.csv",
            "report.html",
        }
    )
