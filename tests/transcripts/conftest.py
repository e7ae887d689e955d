"""What the tests of the readers share: a browser for the session, and a short way to read a text."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from selenium.webdriver import Chrome

from tests.browser import browser


@pytest.fixture(scope="session")
def chromium() -> Iterator[Chrome]:
    with browser() as driver:
        yield driver
