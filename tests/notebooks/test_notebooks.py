"""The notebooks run from top to bottom, and are kept without what they printed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))


def read(path: Path) -> dict[str, Any]:
    notebook: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return notebook


def code_cells(path: Path) -> list[dict[str, Any]]:
    return [cell for cell in read(path)["cells"] if cell["cell_type"] == "code"]


def test_there_is_a_notebook_to_start_from() -> None:
    assert "explore_a_class.ipynb" in [path.name for path in NOTEBOOKS]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.name)
def test_a_notebook_has_the_form_of_version_4_5(path: Path) -> None:
    """Fields that nbformat 4.5 requires: "The Notebook file format", nbformat.readthedocs.io."""
    notebook = read(path)
    assert (notebook["nbformat"], notebook["nbformat_minor"]) == (4, 5)
    assert isinstance(notebook["metadata"], dict)
    ids = [cell["id"] for cell in notebook["cells"]]
    assert len(set(ids)) == len(ids)
    for cell in notebook["cells"]:
        assert cell["cell_type"] in {"markdown", "code"}
        assert isinstance(cell["metadata"], dict)
        assert all(isinstance(line, str) for line in cell["source"])


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.name)
def test_outputs_are_cleared(path: Path) -> None:
    for cell in code_cells(path):
        assert cell["outputs"] == []
        assert cell["execution_count"] is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.name)
def test_every_cell_runs(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(path.parent)
    names: dict[str, Any] = {}
    for cell in code_cells(path):
        exec(compile("".join(cell["source"]), f"{path.name}: {cell['id']}", "exec"), names)
    assert len(names["sets"]) == len(names["record"].sets) > 0
    assert len(names["work"]) > 0
