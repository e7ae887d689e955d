"""A real browser for the tests: headless Chromium, driven over the W3C WebDriver protocol.

``browser()`` starts one and ends it; ``load_track`` puts a WebVTT text into a ``<track>`` element (HTML
Living Standard, 4.8.11.11 "Text tracks") and returns the cues that Chromium's own parser found.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from selenium import webdriver
from selenium.common.exceptions import WebDriverException
from selenium.webdriver.chrome.service import Service

ARGUMENTS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-sync",
    "--no-first-run",
)
SECONDS_TO_LOAD = 20

LOAD_TRACK = """
const [text, kind, done] = arguments;
document.body.replaceChildren();
const video = document.body.appendChild(document.createElement("video"));
const track = video.appendChild(document.createElement("track"));
const shown = cue => ["captions", "subtitles"].includes(kind) ? cue.getCueAsHTML().textContent : cue.text;
track.kind = kind;
track.srclang = "en";
track.onload = () => done([...track.track.cues].map(cue => [cue.startTime, cue.endTime, shown(cue)]));
track.onerror = () => done(null);
track.src = URL.createObjectURL(new Blob([text], {type: "text/vtt"}));
track.track.mode = "hidden";
"""


@contextmanager
def browser() -> Iterator[webdriver.Chrome]:
    """Start headless Chromium with a profile of its own, and end it and remove the profile afterwards."""
    program, driver_program = _find("chromium", "chromium-browser"), _find("chromedriver")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        options = webdriver.ChromeOptions()
        options.binary_location = program
        for argument in (*ARGUMENTS, f"--user-data-dir={profile}"):
            options.add_argument(argument)
        try:
            driver = webdriver.Chrome(options=options, service=Service(driver_program))
        except WebDriverException as error:
            raise AssertionError(f"Chromium does not start: {error.msg}") from error
        try:
            driver.set_script_timeout(SECONDS_TO_LOAD)
            # A local file of its own, so that the page may load what it makes itself.
            page = Path(profile, "page.html")
            page.write_text("<!doctype html><title>track</title><body>", "utf-8")
            driver.get(page.as_uri())
            yield driver
        finally:
            driver.quit()


def load_track(driver: webdriver.Chrome, vtt_text: str, kind: str = "captions") -> list[tuple[float, float, str]]:
    """Return ``(start, end, text)`` of each cue of a WebVTT text, in seconds, in the browser's order.

    The text is without its tags for captions and subtitles, and as written for chapters and metadata. Raise
    ``ValueError`` where the browser takes the text for no WebVTT file.
    """
    cues: list[list[Any]] | None = driver.execute_async_script(LOAD_TRACK, vtt_text, kind)
    if cues is None:
        raise ValueError("Chromium takes this for no WebVTT file")
    return [(start, end, text) for start, end, text in cues]


def _find(*programs: str) -> str:
    for program in programs:
        path = shutil.which(program)
        if path:
            return path
    raise AssertionError(f"{programs[0]} is needed for this check: apt-get install chromium chromium-driver")
