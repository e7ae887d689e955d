"""The report is one calm page: findings first, nothing fetched, readable everywhere."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By

from pipeline.model import Record
from pipeline.publish import export
from tests.publish.example import example_record

TEXT_PAIRS = [
    ("ink", "paper"), ("ink", "panel"), ("ink", "chapter"), ("soft-ink", "paper"), ("accent", "paper"),
    ("accent", "panel"), ("alert", "paper"), ("alert", "panel"), ("paper", "ink"),
]  # fmt: skip
SHAPE_PAIRS = [("shape", "paper"), ("shape", "set"), ("accent", "set"), ("alert", "set"), ("alert", "paper")]


@pytest.fixture(scope="module")
def report() -> str:
    return export(example_record("d07"), "report.html")


@pytest.fixture
def served() -> Iterator[Any]:
    """Serve a text as a page; call it with the text, get the address and the list of what is asked for."""
    asked: list[str] = []
    page = {"text": ""}

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.end_headers()
            self.wfile.write(page["text"].encode())

        def log_message(self, format: str, *args: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()

    def serve(text: str) -> tuple[str, list[str]]:
        page["text"] = text
        return f"http://127.0.0.1:{server.server_port}/report.html", asked

    yield serve
    server.shutdown()
    server.server_close()


def show(driver: webdriver.Chrome, folder: Path, text: str, width: int = 1280, scheme: str = "light") -> None:
    path = folder / "report.html"
    path.write_text(text, "utf-8")
    media = {"media": "", "features": [{"name": "prefers-color-scheme", "value": scheme}]}
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
    size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    driver.get(path.as_uri())


def severe(driver: webdriver.Chrome) -> list[str]:
    return [entry["message"] for entry in driver.get_log("browser")]


def test_nothing_is_fetched_and_the_console_is_silent(driver: webdriver.Chrome, served: Any, report: str) -> None:
    address, asked = served(report)
    severe(driver)
    driver.get(address)
    assert driver.find_element(By.TAG_NAME, "h1").text == example_record("d07").title
    assert asked == ["/report.html"]
    assert driver.execute_script("return performance.getEntriesByType('resource').length") == 0
    assert severe(driver) == []


def test_what_would_fetch_is_stopped_and_seen(driver: webdriver.Chrome, served: Any, report: str) -> None:
    """The check above can fail: a picture from the network is refused by the page's own policy, loudly."""
    address, asked = served(report.replace("<main>", '<main><img src="/picture.png">'))
    severe(driver)
    driver.get(address)
    assert asked == ["/report.html"]
    assert any("Content Security Policy" in message for message in severe(driver))


def test_findings_come_before_the_sets(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report)
    headings = [one.text for one in driver.find_elements(By.CSS_SELECTOR, "main h2")]
    assert headings[0] == "What does not add up"
    assert headings.index("What does not add up") < headings.index("Sets")
    record = example_record("d07")
    rows = driver.find_elements(By.CSS_SELECTOR, "#findings tbody tr")
    assert [finding.message in row.text for finding, row in zip(record.findings, rows, strict=True)] == [True] * 5
    assert len(driver.find_elements(By.CSS_SELECTOR, "#sets tbody tr")) == len(record.sets)


def test_called_reps_are_filled_and_the_others_hollow(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report)
    fills = driver.execute_script(
        "return [...document.querySelectorAll('svg.wide .rep')].map(r =>"
        " [r.classList.contains('called'), getComputedStyle(r).fill === getComputedStyle(r).stroke])"
    )
    reps = [rep for one in example_record("d07").sets for rep in one.reps]
    assert len(fills) == len(reps)
    assert sum(called for called, _ in fills) == sum(rep.called for rep in reps)
    assert all(called == filled for called, filled in fills)


def test_low_confidence_is_told_in_words(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report)
    record = example_record("d07")
    rows = driver.find_elements(By.CSS_SELECTOR, "#sets tbody tr")
    low = ["please check" in row.text for row in rows]
    assert low == [one.confidence < 0.6 for one in record.sets]
    assert any(low)


@pytest.mark.parametrize("width", [1280, 820, 380, 320])
def test_no_page_is_wider_than_its_window(driver: webdriver.Chrome, tmp_path: Path, report: str, width: int) -> None:
    """WCAG 2.2, 1.4.10 Reflow: at 320 CSS pixels no scrolling in two directions."""
    show(driver, tmp_path, report, width)
    assert driver.execute_script("return document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("width", [1280, 380])
def test_targets_are_large_enough(driver: webdriver.Chrome, tmp_path: Path, report: str, width: int) -> None:
    """WCAG 2.2, 2.5.8 Target Size (Minimum): 24 by 24 CSS pixels; links within a sentence are exempt."""
    show(driver, tmp_path, report, width)
    sizes = driver.execute_script(
        "return [...document.querySelectorAll('button, summary, svg a')].map(b => b.getBoundingClientRect())"
        ".filter(b => b.width).map(b => [b.width, b.height])"
    )
    assert len(sizes) > 20
    assert all(wide >= 23.9 and high >= 23.9 for wide, high in sizes), min(sizes)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_colours_have_contrast(driver: webdriver.Chrome, tmp_path: Path, report: str, scheme: str) -> None:
    """WCAG 2.2: 1.4.3 (text 4.5:1) and 1.4.11 (shapes 3:1), by its definition of relative luminance."""
    show(driver, tmp_path, report, scheme=scheme)
    names = sorted({name for pair in TEXT_PAIRS + SHAPE_PAIRS for name in pair})
    colours = driver.execute_script(
        "const style = getComputedStyle(document.documentElement);"
        "return Object.fromEntries(arguments[0].map(n => [n, style.getPropertyValue('--' + n).trim()]))",
        names,
    )
    for pairs, least in ((TEXT_PAIRS, 4.5), (SHAPE_PAIRS, 3.0)):
        for above, below in pairs:
            assert contrast(colours[above], colours[below]) >= least, (above, below)


def contrast(first: str, second: str) -> float:
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_contrast_of_black_on_white_is_the_greatest() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


def test_print_is_light_and_shows_what_is_folded(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report, 760, "dark")
    media = {"media": "print", "features": [{"name": "prefers-color-scheme", "value": "dark"}]}
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
    ground = driver.execute_script("return getComputedStyle(document.body).backgroundColor")
    assert ground == "rgb(252, 251, 248)"
    folded = driver.find_element(By.CSS_SELECTOR, "#cues details .cues")
    assert folded.size["height"] > 0
    assert driver.execute_script("return document.documentElement.scrollWidth") <= 760


def test_a_time_is_copied_with_a_click(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report)
    button = driver.find_element(By.CSS_SELECTOR, "#findings button")
    assert button.text == "8:09"
    driver.execute_cdp_cmd(
        "Browser.grantPermissions", {"permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"]}
    )
    button.click()
    copied = driver.execute_async_script("navigator.clipboard.readText().then(arguments[0])")
    assert copied == "8:09"


def test_times_are_plain_text_without_the_script(report: str) -> None:
    assert '<time class="at" datetime="PT489.400S">8:09</time>' in report


def test_what_was_said_is_never_markup(driver: webdriver.Chrome, tmp_path: Path) -> None:
    record: Record = example_record("d07")
    hostile = '<script>document.title = "taken"</script><b id="taken">&amp;'
    one = record.sets[0]
    bad = replace(
        record,
        title=hostile,
        source=replace(record.source, name=hostile),
        chapters=tuple(replace(chapter, title=hostile) for chapter in record.chapters),
        sets=(replace(one, exercise_name=hostile), *record.sets[1:]),
        findings=tuple(
            replace(f, message=hostile, said=hostile, expected=hostile, evidence=hostile, set=0)
            for f in record.findings
        ),
        cues=tuple(replace(cue, text=hostile) for cue in record.cues),
        warnings=(hostile,),
    )
    show(driver, tmp_path, export(bad, "report.html"))
    assert driver.find_elements(By.ID, "taken") == []
    assert len(driver.find_elements(By.TAG_NAME, "script")) == 1
    assert driver.find_element(By.TAG_NAME, "h1").text == hostile
    assert hostile in driver.find_element(By.CSS_SELECTOR, "#findings tbody").text


def test_the_page_has_one_of_each_landmark_and_no_id_twice(
    driver: webdriver.Chrome, tmp_path: Path, report: str
) -> None:
    show(driver, tmp_path, report)
    ids = driver.execute_script("return [...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(ids) == len(set(ids))
    targets = driver.execute_script(
        "return [...document.querySelectorAll('a')].map(a => a.getAttribute('href').slice(1))"
    )
    assert targets
    assert set(targets) <= set(ids)
    for landmark in ("header", "main", "footer"):
        assert len(driver.find_elements(By.CSS_SELECTOR, f"body > {landmark}")) == 1


def test_cautions_stand_at_the_foot(driver: webdriver.Chrome, tmp_path: Path, report: str) -> None:
    show(driver, tmp_path, report)
    foot = driver.find_element(By.TAG_NAME, "footer").text
    for words in ("not checked", "pain", "qualified professional", "rules"):
        assert words in foot


def test_a_class_without_findings_says_so(driver: webdriver.Chrome, tmp_path: Path) -> None:
    show(driver, tmp_path, export(replace(example_record("d07"), findings=()), "report.html"))
    assert "Nothing was found that does not add up" in driver.find_element(By.ID, "findings").text
