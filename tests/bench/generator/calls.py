"""Which reps of a set are called, and how: up, down, late, in eights; and the mistakes planted on purpose."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import expand, in_words, phrases, tag

#: Cadence (s a rep) above which there is room for "halfway" or "two more" beside the number.
ROOMY_FOR_TWO = 1.3
#: Mistakes beside which "halfway" would be one more thing said of the same reps.
SAID_FIRM = ("halfway-off", "remaining-mismatch")
ORDER = {"rep": 0, "half": 1, "left": 2}


@dataclass
class RepSet:
    """What a set is to be: ``cadence`` in seconds a rep, ``mode`` the way of counting, ``mistake`` a kind."""

    performed: int
    cadence: float
    target: int | None
    position: str
    mode: str = "up"
    mistake: str | None = None
    side: str | None = None
    range: str | None = None
    round: int | None = None
    tempo: tuple[int, ...] | None = None
    each: int | None = None
    notes: list[tuple[str, str]] = field(default_factory=list)

    def header(self, performed: int | str) -> str:
        """Return the ``> set`` line."""
        keys = {
            "unit": "reps",
            "target": self.target,
            "performed": performed,
            "side": self.side,
            "range": self.range,
            "tempo": None if self.tempo is None else "-".join(map(str, self.tempo)),
            "round": self.round,
            "each": self.each,
        }
        return "> set " + " ".join(f"{key}={value}" for key, value in keys.items() if value is not None)


@dataclass
class Moment:
    """What is said as a rep is done: fragments by role, findings marked before it.

    Noise must spare a ``firm`` one; ``delay`` is a share of the cadence.
    """

    fragments: dict[str, str] = field(default_factory=dict)
    marks: list[str] = field(default_factory=list)
    firm: bool = False
    delay: float = 0.0

    def ordered(self) -> list[str]:
        """Return the fragments in the order in which they are said."""
        return [self.fragments[role] for role in sorted(self.fragments, key=lambda role: ORDER.get(role, 3))]


def plan_calls(rng: random.Random, habits: Habits, one: RepSet) -> tuple[list[Moment], int]:
    """Return what is said as each rep is done (index 0: as the set starts), and how many are done."""
    done = one.performed
    moments = [Moment() for _ in range(done + 3)]
    slip_at = rng.randint(2, max(2, done - 3))
    mistake = one.mistake
    if mistake == "skipped-count":
        done -= 1
    elif mistake in {"repeated-count", "over-target"}:
        done += 1
    elif mistake == "under-target":
        done -= rng.choice([1, 1, 2]) if done > 6 else 1
    shift = {"skipped-count": 1, "repeated-count": -1}.get(mistake or "", 0)

    def called(i: int) -> int:
        return i + shift if i > slip_at else i

    if mistake in {"skipped-count", "repeated-count"}:
        for i in (slip_at, slip_at + 1):
            moments[i].firm = True
            moments[i].fragments["rep"] = number_call(one, called(i))
        if mistake == "skipped-count":
            note = f"{in_words(called(slip_at + 1) - 1)} is never called, and the clock leaves no rep for it"
        else:
            note = f"{in_words(slip_at)} is called for two different reps"
        moments[slip_at + 1].marks.append(f"! {mistake} {note}")
    counting_down = one.mode == "down" and mistake is None
    if counting_down:
        _count_down(rng, habits, moments, done, done)
    else:
        _count_up(rng, habits, one, moments, done, called)
        quiet = mistake in {"over-target", "under-target", "remaining-mismatch", "halfway-off"}
        if one.mode == "late" and mistake is None and done >= 7:
            _count_down(rng, habits, moments, done, rng.randint(3, 4))
        elif not quiet and one.cadence >= ROOMY_FOR_TWO:
            _call_remaining(rng, habits, moments, done)
    last = moments[done]
    if mistake in {"skipped-count", "repeated-count"}:
        last.fragments.setdefault("rep", number_call(one, called(done)))
        last.firm = True
    _plant(rng, one, moments, done)
    if one.target is not None and done != one.target:
        kind = "over-target" if done > one.target else "under-target"
        mark = f"! {kind} {in_words(done)} done, {in_words(one.target)} announced"
        if mistake == "over-target" and rng.random() < 0.4:
            before = moments[done - 1]
            before.fragments, before.firm = (
                {"rep": number_call(one, done - 1), "left": choose(rng, "extra")},
                True,
            )
            before.marks.append(mark)
            last.fragments.clear()
        else:
            last.fragments.setdefault("rep", number_call(one, called(done)))
            last.marks.append(mark)
            last.firm = True
    at = done // 2 + (rng.random() < 0.5) * (done % 2)
    calls_half = rng.random() < habits.half and done >= 4 and one.cadence >= ROOMY_FOR_TWO
    if calls_half and mistake not in SAID_FIRM and "left" not in moments[at].fragments:
        moments[at].fragments["half"] = choose(rng, "half")
    if moments[done - 1].fragments.keys() & {"rep", "left"} == {"rep"} and not moments[done].fragments:
        # Calls that end just before the target would say that it was not reached, and nothing else would.
        moments[done].fragments["rep"] = number_call(one, called(done))
    return moments, done


def choose(rng: random.Random, act: str, **slots: str | int) -> str:
    """Choose a phrase of an act and fill it in."""
    return expand(rng.choice(phrases()[act]), slots, rng)


def say_left(rng: random.Random, n: int) -> str:
    """Say how many reps are left."""
    return choose(rng, "left_1") if n == 1 else choose(rng, "left_n", n=n)


def number_call(one: RepSet, n: int) -> str:
    """Return the number that is called for a rep: within its eight, where eights are counted."""
    word = in_words((n - 1) % 8 + 1) if one.mode == "eights" else None
    return tag("rep", n, word)


def _count_up(
    rng: random.Random,
    habits: Habits,
    one: RepSet,
    moments: list[Moment],
    done: int,
    called: Callable[[int], int],
) -> None:
    chosen = [i for i in range(1, done + 1) if rng.random() < habits.called]
    if habits.called < 1:
        chosen += [i for i in (1, 2) if rng.random() < 0.5]
        if rng.random() < 0.7 or one.target is None:
            chosen.append(done)
        if len(set(chosen)) < 3:
            chosen += [done // 2, max(1, done - 2), done]
    for i in chosen:
        if i >= 1:
            moments[i].fragments.setdefault("rep", number_call(one, called(i)))


def _count_down(rng: random.Random, habits: Habits, moments: list[Moment], done: int, begin: int) -> None:
    delay = 0.0 if begin == done and rng.random() < 0.5 else rng.uniform(0.05, 0.35)
    for left in range(begin if begin < done or not delay else begin - 1, 0, -1):
        moment = moments[done - left]
        if left == begin or left <= 2 or rng.random() < 0.3 + 0.7 * habits.called:
            bare = left > 1 and not (delay and left in {begin, done - 1})
            bare = bare or (left == 1 and begin == done and rng.random() < 0.5)
            moment.fragments["left"] = tag("left", left) if bare else say_left(rng, left)
            if begin == done or rng.random() < 0.7:
                moment.fragments.pop("rep", None)
            moment.delay = delay if "rep" not in moment.fragments else 0.0
    if rng.random() < 0.8:
        moments[done].fragments.pop("rep", None)


def _call_remaining(rng: random.Random, habits: Habits, moments: list[Moment], done: int) -> None:
    for left, chance in ((1, 1.0), (2, 0.7), (3, 0.25), (4, 0.15)):
        if done - left >= 2 and rng.random() < habits.left * chance:
            moments[done - left].fragments["left"] = say_left(rng, left)
            if "rep" not in moments[done - left].fragments:
                moments[done - left].delay = rng.uniform(0.05, 0.35)


def _plant(rng: random.Random, one: RepSet, moments: list[Moment], done: int) -> None:
    """Plant the mistakes that change no count: what is said to remain, and where half is called."""
    if one.mistake == "remaining-mismatch":
        said, real = rng.choice([(2, 3), (2, 3), (1, 2), (3, 4), (2, 4)] if done >= 7 else [(2, 3), (1, 2)])
        moment = moments[done - real]
        moment.fragments = {"rep": number_call(one, done - real), "left": say_left(rng, said)}
        moment.firm = True
        words = "last one" if said == 1 else f"{in_words(said)} more"
        moment.marks.append(f"! remaining-mismatch {words} called, {in_words(real)} are done")
        for i in range(done - real + 1, done + 1):
            moments[i].fragments = {"rep": number_call(one, i)}
            moments[i].firm = True
    if one.mistake == "halfway-off":
        late = [i for i in range(2, done) if i / done >= 0.7]
        early = [i for i in range(2, done) if i / done <= 0.3]
        at = rng.choice(early if early and rng.random() < 0.35 else late)
        moments[at].fragments = {"rep": number_call(one, at), "half": choose(rng, "half")}
        moments[at].firm = True
        moments[at].marks.append(f"! halfway-off called after {in_words(at)} of {in_words(done)}")
    if one.mistake == "tempo-off-clock" and one.tempo:
        total = in_words(sum(one.tempo))
        middle = moments[max(2, done // 2)]
        middle.fragments.setdefault("rep", number_call(one, max(2, done // 2)))
        middle.firm = True
        middle.marks.append(f"! tempo-off-clock {total} seconds a rep announced, about {one.cadence:.1f} taken")
