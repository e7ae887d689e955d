"""Facts that every entry of ``lexicon/exercises/*.csv`` keeps, read from the files themselves.

The files are read with ``csv`` alone, not through the loader, so that the two check each other. The closed
lists come from ``lexicon/vocabulary.yaml``. What a sane second is, is common practice, no source.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import defaultdict
from pathlib import Path

import pytest
import yaml

LEXICON = Path(__file__).parents[2] / "lexicon"
FILES = sorted((LEXICON / "exercises").glob("*.csv"))
COLUMNS = [
    *("id", "name", "other_names", "pattern", "prime_movers", "helpers", "joint_actions", "equipment"),
    *("position", "sides", "unit", "seconds_low", "seconds_high", "easier", "harder", "caution"),
    *("told_apart_by", "activity_codes"),
]
CLOSED_LIST_OF = {
    "pattern": "patterns",
    "prime_movers": "muscles",
    "helpers": "muscles",
    "joint_actions": "joint_actions",
    "equipment": "equipment",
    "position": "positions",
}
# Seconds of one rep, one hold or one breath: the least and the most that any entry may give. A fast step of
# the feet takes about a quarter of a second; a round of sun salutations as one "rep" takes a minute; a rest
# on the back is held for five minutes; a breath with three holds takes half a minute.
SANE_SECONDS = {"reps": (0.25, 60.0), "seconds": (1.0, 300.0), "breaths": (2.0, 30.0)}
LEAST_ENTRIES = 500

Row = dict[str, str]


def read_rows() -> list[tuple[str, Row]]:
    """Return (place, row) of every entry, the place as "file:line"."""
    rows: list[tuple[str, Row]] = []
    for file in FILES:
        with file.open(encoding="utf-8", newline="") as stream:
            reader = csv.DictReader(stream)
            rows += [(f"{file.name}:{reader.line_num}", row) for row in reader]
    return rows


def cells(cell: str) -> list[str]:
    """Return the words of a cell that holds a list."""
    return [part.strip() for part in cell.split(";") if part.strip()]


def singular(word: str) -> str:
    """Return an English plural as its singular, roughly: enough to see that two names are one."""
    if word == "calves":
        return "calf"
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    if re.search(r"(ch|sh|x|ss)es$", word):
        return word[:-2]
    return word[:-1] if word.endswith("s") and len(word) > 2 and not word.endswith(("ss", "us")) else word


def normalised(name: str) -> str:
    """Return a name without case, accents, apostrophes, hyphens and plurals."""
    plain = unicodedata.normalize("NFKD", name.lower()).encode("ascii", "ignore").decode()
    return " ".join(singular(word) for word in re.sub(r"[-/]", " ", plain.replace("'", "")).split())


ROWS = read_rows()
BY_ID = {row["id"]: row for _, row in ROWS}
VOCABULARY: dict[str, list[str]] = yaml.safe_load((LEXICON / "vocabulary.yaml").read_text(encoding="utf-8"))


def test_a_coach_finds_at_least_five_hundred_exercises() -> None:
    assert len(BY_ID) >= LEAST_ENTRIES


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_a_file_has_the_columns_in_order_and_no_row_is_short_or_long(file: Path) -> None:
    with file.open(encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    assert header == COLUMNS
    assert [row for row in rows if len(row) != len(COLUMNS)] == []


def test_an_id_is_kebab_case_and_stands_once() -> None:
    assert [p for p, row in ROWS if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", row["id"])] == []
    places = defaultdict(list)
    for place, row in ROWS:
        places[row["id"]].append(place)
    assert {one: at for one, at in places.items() if len(at) > 1} == {}


def test_every_word_of_a_closed_list_stands_in_the_vocabulary() -> None:
    strays = [
        (place, column, word)
        for place, row in ROWS
        for column, group in CLOSED_LIST_OF.items()
        for word in cells(row[column])
        if word not in VOCABULARY[group]
    ]
    assert strays == []


def test_every_activity_code_stands_among_the_activities() -> None:
    known = yaml.safe_load((LEXICON / "activities.yaml").read_text(encoding="utf-8"))["activities"]
    assert [(place, code) for place, row in ROWS for code in cells(row["activity_codes"]) if code not in known] == []


def test_what_coaches_call_muscles_means_muscles_of_the_closed_list() -> None:
    words: dict[str, list[str]] = yaml.safe_load((LEXICON / "vocabulary.yaml").read_text("utf-8"))["muscle_words"]
    assert {word: meant for word, meant in words.items() if not meant or set(meant) - {*VOCABULARY["muscles"]}} == {}


def test_the_closed_lists_name_nothing_twice() -> None:
    for group, words in VOCABULARY.items():
        assert len(words) == len(set(words)), group


def test_an_entry_says_what_moves_it_where_and_how_it_is_counted() -> None:
    needed = ("name", "pattern", "prime_movers", "equipment", "position")
    assert [(place, column) for place, row in ROWS for column in needed if not cells(row[column])] == []
    assert {row["sides"] for _, row in ROWS} <= {"yes", "no", "alternating"}
    assert {row["unit"] for _, row in ROWS} <= set(SANE_SECONDS)


def test_a_muscle_leads_or_helps_but_not_both() -> None:
    both = [
        (place, muscle)
        for place, row in ROWS
        for muscle in cells(row["prime_movers"])
        if muscle in cells(row["helpers"])
    ]
    assert both == []


def test_a_list_names_nothing_twice() -> None:
    lists = (*CLOSED_LIST_OF, "other_names", "easier", "harder")
    twice = [
        (place, column)
        for place, row in ROWS
        for column in lists
        if len(cells(row[column])) != len(set(cells(row[column])))
    ]
    assert twice == []


def test_seconds_are_sane_for_what_is_counted() -> None:
    odd = []
    for place, row in ROWS:
        low, high = float(row["seconds_low"]), float(row["seconds_high"])
        least, most = SANE_SECONDS[row["unit"]]
        if not least <= low <= high <= most:
            odd.append((place, row["id"], low, high))
    assert odd == []


def test_no_name_belongs_to_two_exercises_unless_both_say_how_they_are_told_apart() -> None:
    owners: dict[str, set[str]] = defaultdict(set)
    for _, row in ROWS:
        for name in (row["name"], *cells(row["other_names"])):
            owners[normalised(name)].add(row["id"])
    shared = {
        name: sorted(ids)
        for name, ids in owners.items()
        if len(ids) > 1 and not all(BY_ID[one]["told_apart_by"].strip() for one in ids)
    }
    assert shared == {}


@pytest.mark.parametrize(("way", "back"), [("easier", "harder"), ("harder", "easier")])
def test_a_variant_leads_to_an_exercise_that_leads_back(way: str, back: str) -> None:
    one_way = [
        (place, row["id"], way, other)
        for place, row in ROWS
        for other in cells(row[way])
        if other == row["id"] or other not in BY_ID or row["id"] not in cells(BY_ID[other][back])
    ]
    assert one_way == []


def test_no_chain_of_harder_variants_comes_round_to_itself() -> None:
    settled: set[str] = set()

    def follow(one: str, behind: tuple[str, ...]) -> None:
        assert one not in behind, " -> ".join((*behind, one))
        if one in settled:
            return
        for other in cells(BY_ID[one]["harder"]):
            follow(other, (*behind, one))
        settled.add(one)

    for one in BY_ID:
        follow(one, ())


def test_an_accented_name_is_also_found_without_its_accents() -> None:
    missing = []
    for place, row in ROWS:
        names = [row["name"], *cells(row["other_names"])]
        for name in names:
            plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
            if plain not in names:
                missing.append((place, name))
    assert missing == []


def test_a_caution_is_one_short_plain_sentence() -> None:
    cautions = [(place, row["caution"]) for place, row in ROWS if row["caution"]]
    assert len(cautions) > len(ROWS) / 10
    assert [one for one in cautions if len(one[1]) > 120 or not one[1].endswith(".")] == []
