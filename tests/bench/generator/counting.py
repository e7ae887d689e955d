"""Working sets by the rep: when each rep is done, which are called and how, and the mistakes made on purpose.

The reps come first, then the calls: a call is put where its rep is, so the clock never contradicts a count
unless a mistake says so.
"""

from __future__ import annotations

import random
from collections import defaultdict

from tests.bench.generator.calls import ORDER, Moment, RepSet, plan_calls
from tests.bench.generator.filling import fill_gaps
from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import in_words, tag
from tests.bench.generator.speech import TAGGED, Line, Stage, Token, offset

#: Relative deviation of one rep's length from the set's cadence.
JITTER = 0.04
#: Cadences (seconds a rep) above which there is room for a second fragment, a slip of the tongue, a mistake.
ROOMY, ROOMY_FOR_MISTAKES, ROOMY_TO_ASK = 1.8, 1.6, 2.8
#: Fastest speech squeezed between two reps, words a second.
FASTEST = 3.55
#: Shortest call, and the time left for a rep's call before the next rep's seconds are chanted (s).
SHORTEST_CALL, CHANT_AFTER = 0.45, 0.75
#: Called numbers in one line are kept to their reps within this share of the cadence.
GROUP_TOLERANCE = 0.15


def count_reps(stage: Stage, habits: Habits, one: RepSet) -> int:
    """Write a set of reps onto the stage, from its ``>`` to its ``<``; return the reps done."""
    rng = stage.rng
    moments, done = plan_calls(rng, habits, one)
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
            line = _grouped(stage, [moments[j].ordered()[0] for j in group], [times[j] for j in group], habits)
        if line is None:
            group = [i]
            after = times[spoken[k + 1]] if k + 1 < len(spoken) else times[i] + 9.0
            after += moments[spoken[k + 1]].delay * one.cadence if k + 1 < len(spoken) else 0.0
            if i + 1 in busy:
                after = min(after, times[i] + CHANT_AFTER + 0.2)
            at = times[i] + moment.delay * one.cadence
            line = _single(stage, habits, one, moment, i, at, free_from, after, i in busy)
        if line is not None:
            for j in group:
                marks[round(line.start * 1000)] += moments[j].marks
            lines.append(line)
            free_from = line.end
        k += len(group)


def _group(rng: random.Random, habits: Habits, one: RepSet, moments: list[Moment], ahead: list[int]) -> list[int]:
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
    at: float,
    free_from: float,
    after: float,
    chanted: bool,
) -> Line | None:
    """Return the line said at one moment, with what fits of ornament, or ``None`` where nothing fits."""
    rng = stage.rng
    room = after - at - 0.3
    fragments = dict(moment.fragments)
    if "rep" in fragments and not moment.firm:
        fragments["rep"] = _slip(stage, habits, one, moment, fragments["rep"], i, room)
    while not moment.firm and _shortest(fragments) > max(room, SHORTEST_CALL):
        if len(fragments) > 1:
            fragments.pop("half" if "half" in fragments else "left")
        elif "left" in fragments and TAGGED.fullmatch(fragments["left"]) is None:
            found = TAGGED.search(fragments["left"])
            assert found is not None
            fragments["left"] = tag("left", int(found["n"]))
        else:
            break
    core = ", ".join(fragments[role] for role in sorted(fragments, key=ORDER.__getitem__))
    text = core
    if rng.random() < habits.suffix and room > 1.4:
        extra = stage.phrase("cue" if room > 3.5 and rng.random() < 0.4 else "suffix").rstrip(".")
        extra = extra if extra.startswith("I") else extra[0].lower() + extra[1:]
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


def _shortest(fragments: dict[str, str]) -> float:
    """Return the seconds that the fragments take at the fastest."""
    return sum(len(TAGGED.sub(r"\g<word>", text).split()) for text in fragments.values()) / FASTEST


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
        lead = rng.choice(["down", "lower", "", "and down"] if longest == 0 else ["down", "slow", "", "and back"])
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
