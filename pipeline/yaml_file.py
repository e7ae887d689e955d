"""A YAML file as nodes that know their lines; whatever is wrong with it is one line for a person."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import InputError

if TYPE_CHECKING:
    from yaml import Node


def read_tree(path: Path, wanted: str) -> Node | None:
    """Return the topmost node of a file, ``None`` where it is empty.

    Raises :class:`~pipeline.model.InputError`, in which ``wanted`` says what would do, where the file cannot be
    read or is no YAML.
    """
    import yaml

    with _told_in_one_line(path, wanted):
        tree: Node | None = yaml.compose(path.read_text(encoding="utf-8-sig"), Loader=yaml.SafeLoader)
    return tree


def value_of(node: Node, path: Path, wanted: str) -> object:
    """Return what a node stands for, of YAML's plain types; raise as :func:`read_tree` does where it is none."""
    import yaml

    with _told_in_one_line(path, wanted):
        value: object = yaml.SafeLoader("").construct_document(node)
    return value


def line_of(node: Node) -> int:
    """Return the line of a file on which a node begins, from 1."""
    line: int = node.start_mark.line + 1
    return line


@contextmanager
def _told_in_one_line(path: Path, wanted: str) -> Iterator[None]:
    import yaml

    try:
        yield
    except UnicodeDecodeError as error:
        raise InputError(str(path), None, "is not UTF-8 text", wanted) from error
    except OSError as error:
        raise InputError(str(path), None, f"cannot be read ({error.strerror or error})", wanted) from error
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise InputError(str(path), mark and mark.line + 1, f"is not YAML ({problem})", wanted) from error
    except RecursionError as error:
        raise InputError(str(path), None, "is nested too deep", wanted) from error
    except (ValueError, OverflowError) as error:  # an escape that is no character, a date that there is not
        raise InputError(str(path), None, f"cannot be read ({error})", wanted) from error
