"""Working sets by the rep: when each rep is done, which are called and how, and the mistakes made on purpose.

The reps come first, then the calls: a call is put where its rep is, so the clock never contradicts a count
unless a mistake says so.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.bench.generator.filling import fill_gaps
from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import in_words, tag
from tests.bench.generator.speech import Line, Stage, Token, offset

#: Relative deviation of one rep's length from the set's cadence.
JITTER = 0.04
#: Cadences (seconds a rep) above which there is room for a second fragment, a slip of the tongue, a mistake.
ROOMY, ROOMY_FOR_MISTAKES, ROOMY_TO_ASK = 1.8, 1.6, 2.8
#: Fastest speech squeezed between two reps, words a second.
FASTEST = 3.55
#: Shortest call, and the time after a rep that is left for its call before the next rep's seconds are chanted (s).
SHORTEST_CALL, CHANT_AFTER = 0.45, 0.75
#: Called numbers in one line are kept to their reps within this share of the cadence.
GROUP_TOLERANCE = 0.15
ORDER = {"rep": 0, "half": 1, "left": 2}


@dataclass
class RepSet:
    """What a set is to be. ``cadence`` is in seconds a rep, ``mode`` the way of counting, ``mistake`` a kind."""

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
    """What is said as a rep is done: fragments by role, findings marked before it, whether noise must spare it."""

    fragments: dict[str, str] = field(default_factory=dict)
    marks: list[str] = field(default_factory=list)
    firm: bool = False
    delay: float = 0.0

    def ordered(self) -> list[str]:
        """Return the fragments in the order in which they are said."""
        return [self.fragments[role] for role in sorted(self.fragments, key=lambda role: ORDER.get(role, 3))]


def count_reps(stage: Stage, habits: Habits, one: RepSet) -> int:
    """Write a set of reps onto the stage, from its ``>`` to its ``<``; return the reps done."""
    rng = stage.rng
    moments, done = _plan_calls(rng, habits, one)
    stage.mark(one.header(done))
    start = round(stage.clock + rng.uniform(*habits.pause), 1)
    fast = one.cadence < ROOMY
    lines: list[Line] = []
    opened = start
    if not moments[0].fragments:
        opening = stage.write(stage.phrase("start_short" if fast or one.range == "pulse" else "start"))
        opened = start + min(stage.duration(opening), max(0.7, len(opening) / FASTEST))
        lines.append(Line(start, opened, opening))
    step = one.cadence
    times = [start, max(start + step * rng.uniform(0.95, 1.2), opened + 0.7 * bool(lines))]
    times += [0.0] * (done - 1)
    for i in range(2, done + 1):
        times[i] = times[i - 1] + step * rng.gauss(1.0, JITTER if step > 1.3 else JITTER / 2)
    busy = _chants(stage, habits, one, moments, times, lines) if one.tempo or one.each else set()
    marks: dict[int, list[str]] = defaultdict(list)
    _write_calls(stage, habits, one, moments, times, busy, lines, marks)
    lines.sort(key=lambda line: line.start)
    if not any(line.end > times[done] - 0.05 for line in lines):
        room_from = max(times[done] - 0.2, lines[-1].end + 0.1)
        closing = stage.write(stage.phrase("close"))
        lines.append(Line(room_from, room_from + stage.duration(closing), closing))
    lines = fill_gaps(stage, habits, lines, one.position)
    for line in lines:
        for mark in marks.get(round(line.start * 1000), []):
            stage.mark(mark)
        stage.put(line)
    stage.mark("<")
    for kind, note in one.notes:
        stage.mark(f"! {kind} {note}")
    return done


def free_set(stage: Stage, habits: Habits, one: RepSet, length: float) -> None:
    """Write a set of reps that nobody counts, ``length`` seconds long."""
    stage.mark(one.header("?"))
    start = round(stage.clock + stage.rng.uniform(*habits.pause), 1)
    opening = stage.write(stage.phrase("start"))
    closing = stage.write(stage.phrase("close"))
    lines = [
        Line(start, start + stage.duration(opening), opening),
        Line(start + length, start + length + stage.duration(closing), closing),
    ]
    for line in fill_gaps(stage, habits, lines, one.position):
        stage.put(line)
    stage.mark("<")


def _plan_calls(rng: random.Random, habits: Habits, one: RepSet) -> tuple[list[Moment], int]:
    done = one.performed
    moments = [Moment() for _ in range(done + 3)]
    slip_at = rng.randint(2, max(2, done - 3))
    mistake = one.mistake
    if mistake == "skipped-count":
        done -= 1
    elif mistake == "repeated-count":
        done += 1
    elif mistake == "over-target":
        done += 1
    elif mistake == "under-target":
        done -= rng.choice([1, 1, 2]) if done > 6 else 1
    shift = {"skipped-count": 1, "repeated-count": -1}.get(mistake or "", 0)

    def called(i: int) -> int:
        return i + shift if i > slip_at else i

    if mistake in {"skipped-count", "repeated-count"}:
        for i in (slip_at, slip_at + 1):
            moments[i].firm = True
            moments[i].fragments["rep"] = _number(one, called(i))
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
        elif not quiet and one.cadence >= 1.3:
            _call_remaining(rng, habits, moments, done)
    last = moments[done]
    if mistake in {"skipped-count", "repeated-count"}:
        last.fragments.setdefault("rep", _number(one, called(done)))
        last.firm = True
    _plant(rng, one, moments, done)
    if one.target is not None and done != one.target:
        kind = "over-target" if done > one.target else "under-target"
        mark = f"! {kind} {in_words(done)} done, {in_words(one.target)} announced"
        if mistake == "over-target" and rng.random() < 0.4:
            before = moments[done - 1]
            before.fragments, before.firm = {"rep": _number(one, done - 1), "left": "=extra"}, True
            before.marks.append(mark)
            last.fragments.clear()
        else:
            last.fragments.setdefault("rep", _number(one, called(done)))
            last.marks.append(mark)
            last.firm = True
    at = done // 2 + (rng.random() < 0.5) * (done % 2)
    if mistake != "halfway-off" and rng.random() < habits.half and done >= 4 and one.cadence >= 1.3:
        if mistake != "remaining-mismatch" and "left" not in moments[at].fragments:
            moments[at].fragments["half"] = ""
    return moments, done


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
            moments[i].fragments.setdefault("rep", _number(one, called(i)))


def _count_down(rng: random.Random, habits: Habits, moments: list[Moment], done: int, begin: int) -> None:
    delay = 0.0 if begin == done and rng.random() < 0.5 else rng.uniform(0.05, 0.35)
    for left in range(begin if begin < done or not delay else begin - 1, 0, -1):
        moment = moments[done - left]
        if left == begin or left <= 2 or rng.random() < 0.3 + 0.7 * habits.called:
            moment.fragments["left"] = (
                "" if left == 1 or (left in {begin, done - 1} and delay) else tag("left", left)
            )
            if begin == done or rng.random() < 0.7:
                moment.fragments.pop("rep", None)
            moment.delay = delay if "rep" not in moment.fragments else 0.0
    if rng.random() < 0.8:
        moments[done].fragments.pop("rep", None)


def _call_remaining(rng: random.Random, habits: Habits, moments: list[Moment], done: int) -> None:
    for left, chance in ((1, 1.0), (2, 0.7), (3, 0.25), (4, 0.15)):
        if done - left >= 2 and rng.random() < habits.left * chance:
            moments[done - left].fragments["left"] = ""
            if "rep" not in moments[done - left].fragments:
                moments[done - left].delay = rng.uniform(0.05, 0.35)


def _plant(rng: random.Random, one: RepSet, moments: list[Moment], done: int) -> None:
    """Plant the mistakes that change no count: what is said to remain, and where half is called."""
    if one.mistake == "remaining-mismatch":
        said, real = rng.choice([(2, 3), (2, 3), (1, 2), (3, 4), (2, 4)] if done >= 7 else [(2, 3), (1, 2)])
        moment = moments[done - real]
        moment.fragments = {"rep": _number(one, done - real), "left": f"={said}"}
        moment.firm = True
        words = "last one" if said == 1 else f"{in_words(said)} more"
        moment.marks.append(f"! remaining-mismatch {words} called, {in_words(real)} are done")
        for i in range(done - real + 1, done + 1):
            moments[i].fragments = {"rep": _number(one, i)}
            moments[i].firm = True
    if one.mistake == "halfway-off":
        late = [i for i in range(2, done) if i / done >= 0.7]
        early = [i for i in range(2, done) if i / done <= 0.3]
        at = rng.choice(early if early and rng.random() < 0.35 else late)
        moments[at].fragments = {"rep": _number(one, at), "half": ""}
        moments[at].firm = True
        moments[at].marks.append(f"! halfway-off called after {in_words(at)} of {in_words(done)}")
    if one.mistake == "tempo-off-clock" and one.tempo:
        total = in_words(sum(one.tempo))
        middle = moments[max(2, done // 2)]
        middle.fragments.setdefault("rep", _number(one, max(2, done // 2)))
        middle.firm = True
        middle.marks.append(
            f"! tempo-off-clock {total} seconds a rep announced, about {one.cadence:.1f} taken"
        )


def _number(one: RepSet, n: int) -> str:
    word = in_words((n - 1) % 8 + 1) if one.mode == "eights" else None
    return tag("rep", n, word)


def _write_calls(
    stage: Stage,
    habits: Habits,
    one: RepSet,
    moments: list[Moment],
    times: list[float],
    busy: set[int],
    lines: list[Line],
    marks: dict[int, list[str]],
) -> None:
    rng, done = stage.rng, len(times) - 1
    spoken = [i for i in range(done + 1) if moments[i].fragments]
    free_from = max((line.end for line in lines if line.start <= times[0]), default=times[0] - 0.1)
    k = 0
    while k < len(spoken):
        i = spoken[k]
        moment = moments[i]
        group = _group(rng, habits, one, moments, spoken[k:])
        after = times[spoken[k + len(group)]] if k + len(group) < len(spoken) else times[i] + 9.0
        line = None
        if len(group) > 1:
            line = _grouped(
                stage, [moments[j].ordered()[0] for j in group], [times[j] for j in group], habits
            )
        if line is None:
            group = [i]
            after = times[spoken[k + 1]] if k + 1 < len(spoken) else times[i] + 9.0
            after += moments[spoken[k + 1]].delay * one.cadence if k + 1 < len(spoken) else 0.0
            if i + 1 in busy:
                after = min(after, times[i] + CHANT_AFTER + 0.2)
            at = times[i] + moment.delay * one.cadence
            line = _single(stage, habits, one, moment, i, done, at, free_from, after, i in busy)
        if line is not None:
            for j in group:
                marks[round(line.start * 1000)] += moments[j].marks
            lines.append(line)
            free_from = line.end
        k += len(group)


def _group(
    rng: random.Random, habits: Habits, one: RepSet, moments: list[Moment], ahead: list[int]
) -> list[int]:
    """Return the moments whose numbers are said in one breath: the first of ``ahead``, maybe some more."""
    if one.cadence > 1.4 or rng.random() > habits.group:
        return ahead[:1]
    out: list[int] = []
    for i in ahead[: rng.choice([2, 3, 4, 4])]:
        plain = len(moments[i].fragments) == 1 and moments[i].ordered()[0].startswith("{")
        if moments[i].marks or moments[i].firm or not plain or (out and i != out[-1] + 1):
            break
        out.append(i)
    return out or ahead[:1]


def _grouped(stage: Stage, fragments: list[str], times: list[float], habits: Habits) -> Line | None:
    tokens = stage.write(", ".join(fragments))
    if len(tokens) != len(times):
        return None
    last = offset(tokens, len(tokens) - 1)
    span = (times[-1] - times[0]) / last
    cadence = (times[-1] - times[0]) / (len(times) - 1)
    if times[0] + span > times[-1] + cadence - 0.1:
        return None
    for i, time in enumerate(times):
        if abs(times[0] + span * offset(tokens, i) - time) > GROUP_TOLERANCE * cadence / 2:
            return None
    return Line(times[0], times[0] + span, tokens)


def _single(
    stage: Stage,
    habits: Habits,
    one: RepSet,
    moment: Moment,
    i: int,
    done: int,
    at: float,
    free_from: float,
    after: float,
    chanted: bool,
) -> Line | None:
    """Return the line said at one moment, with what fits of ornament, or ``None`` where nothing fits."""
    rng = stage.rng
    room = after - at - 0.3
    fragments = dict(moment.fragments)
    left = done - i
    if fragments.get("left") == "=extra":
        fragments["left"] = stage.phrase("extra")
    elif fragments.get("left", "x") == "" or fragments.get("left", "").startswith("="):
        n = int(fragments["left"][1:]) if fragments["left"] else left
        fragments["left"] = stage.phrase("left_1") if n == 1 else stage.phrase("left_n", n=n)
        if moment.fragments["left"] == "" and one.mode == "down" and n == 1 and rng.random() < 0.5:
            fragments["left"] = tag("left", 1)
    if "half" in fragments:
        fragments["half"] = stage.phrase("half")
    if "rep" in fragments and not moment.firm:
        fragments["rep"] = _slip(stage, habits, one, moment, fragments["rep"], i, room)
    while True:
        ordered = [fragments[role] for role in sorted(fragments, key=lambda role: ORDER[role])]
        core = ", ".join(ordered)
        length = len(stage.write(core)) / FASTEST
        if length <= max(room, SHORTEST_CALL) or len(fragments) == 1 or moment.firm:
            break
        fragments.pop("half" if "half" in fragments else "left")
    text = core
    if rng.random() < habits.suffix and room > 1.4:
        extra = stage.phrase("suffix")
        if len((core + " " + extra).split()) / stage.rate < room:
            text = f"{core}, {extra}"
    prefix = stage.phrase("prefix") if rng.random() < habits.prefix and not chanted else ""
    tokens = stage.write(f"{prefix} {text}")
    line = _placed(stage, tokens, at, room)
    if prefix and line.start < free_from + 0.1:
        tokens = stage.write(text)
        line = _placed(stage, tokens, at, room)
    if line.start < free_from + 0.04:
        late = free_from + 0.05 - line.start
        if late > 0.12 * one.cadence and not moment.firm:
            return None
        line = Line(line.start + late, max(line.end, line.start + late + 0.45), tokens, moment.firm)
    return Line(line.start, line.end, line.tokens, moment.firm)


def _placed(stage: Stage, tokens: tuple[Token, ...], at: float, room: float) -> Line:
    """Place words so that the call starts at ``at``; one said twice lies around it."""
    calls = [k for k, t in enumerate(tokens) if t.role == "rep"]
    calls = calls or [k for k, t in enumerate(tokens) if t.role in {"left", "half"}][:1] or [0]
    length = min(stage.duration(tokens), max(room, len(tokens) / FASTEST, SHORTEST_CALL))
    start = at - sum(offset(tokens, k) for k in calls) / len(calls) * length
    return Line(start, start + length, tokens)


def _slip(stage: Stage, habits: Habits, one: RepSet, moment: Moment, said: str, i: int, room: float) -> str:
    """Return a rep's call with, now and then, a stutter, a self-correction or a question to oneself."""
    rng = stage.rng
    word = said.partition("}")[2]
    if one.cadence < ROOMY or room < 1.5 or len(moment.fragments) > 1 or one.mode == "eights":
        return said
    chance = rng.random()
    if chance < habits.stutter / 2:
        return rng.choice([f"{said}. {said}", f"{said}, {said}"])
    if chance < habits.stutter / 2 + habits.query / 2 and one.cadence > ROOMY_TO_ASK and room > 2.0:
        return rng.choice(
            [
                f"was that {said}? {said}",
                f"is it {said}? {said}",
                f"{said}, I think, {said}",
                f"{said}, yes, {said}",
            ]
        )
    if chance > 1 - habits.correct / 2 and i > 2:
        wrong = tag("other", 0, in_words(max(1, i + rng.choice([-2, -1, 1, 1, 2])))).replace(" 0}", "}")
        turn = rng.choice(["no,", "no wait,", "sorry,", "I mean", "no, that's", "oh,", "not that,"])
        return f"{wrong}, {turn} {tag('rep', i, word)}"
    return said


def _chants(
    stage: Stage, habits: Habits, one: RepSet, moments: list[Moment], times: list[float], lines: list[Line]
) -> set[int]:
    """Chant the seconds within some reps; return those reps, whose call follows close on the chant."""
    rng = stage.rng
    busy: set[int] = set()
    if one.cadence < 3.0 or (one.tempo and rng.random() > habits.chant) or one.mistake == "tempo-off-clock":
        return busy
    for i in range(2, len(times)):
        before = moments[i - 1]
        if before.firm or moments[i].firm or before.fragments.keys() - {"rep"}:
            continue
        if rng.random() < (0.8 if i <= 3 else 0.35):
            line = _chant(stage, one, times[i - 1], times[i])
            if line is not None:
                lines.append(line)
                busy.add(i)
    return busy


def _chant(stage: Stage, one: RepSet, begin: float, end: float) -> Line | None:
    rng = stage.rng
    role, lead, wait = "hold", "", 0.0
    if one.tempo:
        longest = one.tempo.index(max(one.tempo))
        role, wait = "tempo", 0.9 * sum(one.tempo[:longest])
        lead = rng.choice(
            ["down", "lower", "", "and down"] if longest == 0 else ["down", "slow", "", "and back"]
        )
    seconds = one.each or max(one.tempo or (0,))
    if seconds < 2 or end - begin < wait + seconds + 0.9:
        return None
    order = list(range(1, seconds + 1))
    if rng.random() < 0.3:
        order.reverse()
    first = 1 if lead and rng.random() < 0.4 and seconds > 2 else 0
    words = [tag(role, n) for n in order[first:]]
    if one.tempo and one.tempo[1:] == (1,) and rng.random() < 0.35:
        words.append(rng.choice(["up ", "and up ", "press "]) + tag("tempo", 1))
    start = begin + CHANT_AFTER + wait + first * 0.8
    tokens = stage.write(f"{lead} " + ", ".join(words))
    finish = min(start + len(words) * 0.95, end - 0.3)
    return Line(start, finish, tokens) if finish - start > len(tokens) / FASTEST else None
