"""Is the exercise being done now, or merely spoken of? A name in its sentence, weighed.

"Next up, goblet squats" is an exercise that starts. "Like a goblet squat", "no burpees today", "Tuesday's
deadlifts", "later we'll plank" and "easier: a wall sit" are not, and "press it up" is a call inside a set.
All the phrases are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.mentions.tokens import Token

REACH_BEFORE, REACH_AFTER = 10, 6
"""How many tokens before and after a name are looked at, never past the end of a sentence."""

# Judgement, fitted by eye on sentences written for the purpose (tests/mentions/sentences.csv), each 0 to 1.
CLEAR, EVERYDAY, HEARD = 0.62, 0.25, 0.45
"""A name that means the exercise, one that is an everyday word too, and one that was only heard alike."""
ANNOUNCED, COUNTED, STARTS_SENTENCE, IN_PLURAL = 0.33, 0.28, 0.08, 0.12
MERELY_MENTIONED = 0.4
"""What is left of the score where the sentence compares, denies, or speaks of another time."""
LISTED = 0.6
"""The same where names are strung together: a plan ("a row and a press"), told before either is done."""
INSTRUCTION = 0.2
"""A bare verb inside a set ("press it up"): it tells of a set under way, not of a new exercise."""


def _join(text: str) -> str:
    """Return the lines of a pattern as one, without their indents."""
    return "".join(line.strip() for line in text.splitlines())


def _rule(text: str) -> re.Pattern[str]:
    return re.compile(_join(text).replace("<FILLER>", _FILLER).replace("<NUMBER>", _NUMBER))


_NUMBER = _join(
    r"""
    (?:\d+|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen
    |eighteen|twenty|thirty|forty|fifty|sixty|hundred)
    """
)
_FILLER = _join(
    r"""
    (?:,|is|are|was|the|a|an|our|your|my|some|these|those|this|another|with|up|one|first|again|right
    |slow|few|little|it's|of|for|to|into|go|be|is|have|we|we're|doing|do|set|round|move|exercise|block
    |and|more|last|same|number|straight|on|it|heavy|light|big|nice|good|alternating|full|in|<NUMBER>)
    """
)
_ANNOUNCING = _rule(
    r"""
    \b(?:next|now|okay|ok|so|right|first|finally|final|then|here comes?|it's|that's|this is
    |(?:this one|the move|the exercise|the next|move one)(?:'s| is)
    |we have|we've got|i've got|you've got|let's|let us|give me|show me|into|onto
    |moving on|time for|ready for|back to|back into|going to|gonna|start(?:ing)? (?:with|on|out)
    |begin(?:ning)? with
    |open with|finish(?:ing)?|down for|set up|setting up|come to|come up|on to|over to|switch to
    |straight into|round \S+|move \S+|number \S+|exercise \S+|station \S+|(?:take|grab|swap|use|hold
    |get|hug|drop) (?:\S+ ){1,5}for|(?:floor|mat|back|side|belly|front|chair|wall|fours|knees|seat
    |hands|weights?|room|warm up) for|again|(?:for|into|onto) (?:a|an|the|your|our|some|my|these|those)
    |last (?:one|move|exercise)|today's|another|same|doing|do)(?: <FILLER>){0,6} $
    """
)
_COUNTED = _rule(
    r"""
    \b<NUMBER>(?: (?:more|of|these|those|the|slow|little|full|big|last|reps|seconds|last))* $
    """
)
_COUNTED_AFTER = _rule(
    r"""
    ^(?: ,)?(?: (?:next|again|now|for time|today|number \S+)\b
    | (?:for |it's |and it's |just |only |we do |doing )?<NUMBER>(?: (?:slow|more|of|reps|seconds|each
    |in|total|a|per|little|times|big|for|ones|coming|on|to)\b|(?: ,)? *$| ,))
    """
)
_SET_AFTER = _rule(
    r"""
    ^(?: ,)?(?: (?:next|again|now|today)\b
    | (?:for |it's |and it's |just |only |we do )?<NUMBER>(?: (?:slow|more|of|reps|seconds|each|in
    |total|a|per|little|times|for))\b)
    """
)
_CORRECTING = _rule(
    r"""
    (?:\b(?:sorry|i mean|no wait|wait no|actually|or rather|correction|scratch that|make that)
    |, no ,)(?: (?:,|no|it's|it|is|the|a|make|let's|do|i|mean|wait|that|that's|we're|doing))* $
    """
)
_DENIED = _rule(
    r"""
    \b(?:no|not|never|without|avoid|skip|skipping|don't|doesn't|isn't|aren't|won't|can't|didn't|aint
    |ain't)(?: (?!wait|sorry|mean|rest|straight|into|now|so|then|just|only|it's)[^ ,]+){0,4} $
    """
)
_COMPARED = _rule(
    r"""
    (?:(?<!you )\blike|\bunlike|\bas if|\bthink(?:ing)?(?: of)?|\bimagin(?:e|ing)|\bremember|\bthan
    |\bsimilar to|\bsame (?:idea|shape|thing|feeling|belly) (?:as|of)|\b(?:kind|sort|version|variation
    |half) of|\breminds|\bcalls (?:it|this|that|them)|\bpretend|\bas in)(?: [^ ,]+){0,4} $
    """
)
_ALTERNATIVE = _rule(
    r"""
    \b(?:(?:instead of|rather than|in place of|\bif|turn (?:this|it|that|them) into
    |swap (?:this|it|that|them|these) for)(?: [^ ,]+){0,4}
    |(?:easier|harder|option|options|alternatively|regress|progress|too much|modify
    |rather)(?: \S+){0,7}|(?:you|they|i) (?:can|could|might|may|do|always)(?: [^ ,]+){0,4}|, or(?: (?:a
    |the|an|do|just))*) $
    """
)
_PAST = _rule(
    r"""
    \b(?:yesterday(?:'s)?|(?:mon|tues|wednes|thurs|fri|satur|sun)day(?:'s|s)?|(?<!the )last (?:week
    |time|class|month|year)(?:'s)?|earlier|did|(?:i|we|you)'ve done|used to|saw|see|hated?|loved?
    |liked?|was|were|felt
    |after (?:the|those|all|your|that|these)|since|had)(?: [^ ,]+){0,5} $
    """
)
_LATER = _rule(
    r"""
    \b(?:later|after (?:this|that)|next (?:week|time|class|month)|soon|tomorrow|another day
    |come back to|comes? after|before (?:the|we)|until|save|in a (?:moment|minute|bit)|we'll (?:get to
    |come)|towards?)(?: \S+){0,6} $
    """
)
_ELSEWHEN = _rule(
    r"""
    ^(?: [^ ,]+){0,3} (?:earlier|yesterday|last (?:week|time|class)|from (?:mon|tues|wednes|thurs|fri
    |satur|sun)day|we (?:did|opened|started|began|had)|were|was|had|bothers?|in every|when i|later
    |at the (?:very )?end|next (?:week|time|class)|another day|tomorrow)\b
    """
)
_VERB_BEFORE = _rule(
    r"""
    (?:^|, |\b(?:and|you|we|i|they|then|don't|just|let's|or|to|slowly|breathe|exhale|inhale|up|down|out
    |in|that) )$
    """
)
_VERB_AFTER = _rule(
    r"""
    ^(?: ,)?(?: (?:it|them|that|this|and|up|down|out|in|on|over|through|away|back|the|your|with|as
    |slowly|exhale|inhale|lower|hold|release|squeeze|breathe|stand|reach|from|all|one|off|that's)\b
    | <NUMBER> ,| <NUMBER> *$| *$)
    """
)
_SUBJECT_BEFORE = _rule(
    r"""
    \b(?:i|you|we|they|he|she|don't|can't|won't|always|never) $
    """
)
_WANTED = _rule(
    r"""
    \b(?:into|onto|back to|on to|for|next|now|moving to|move to|go to|come to) $
    """
)


_STRINGING = frozenset({"and", "a", "an", "the", "some", "then", "our", "your", "plus", "also", "those"})


@dataclass(frozen=True, slots=True)
class Reading:
    """How a name stands in its sentence. ``doing``: 0 to 1. ``placed``: announced, counted or corrected to.

    ``calling``: a bare verb of instruction.
    """

    doing: float
    placed: bool
    calling: bool


def read(tokens: Sequence[Token], first: int, stop: int, base: float, *, verb: bool) -> Reading:
    """Return how the name ``tokens[first:stop]`` is meant.

    ``base`` is the score that the name has by itself (``CLEAR``, ``EVERYDAY`` or ``HEARD``); ``verb``: the
    name could be a bare verb as well (one word, no modifier, no plural).
    """
    before, after = _before(tokens, first), _after(tokens, stop)
    corrected = _CORRECTING.search(before) is not None
    alone = before in {"", "the ", "a ", "and ", "so ", "now "} and not after and tokens[stop - 1].pause == 2
    announced = corrected or alone or _ANNOUNCING.search(before) is not None
    counted = _COUNTED.search(before) is not None or _COUNTED_AFTER.search(after) is not None
    calling = _SUBJECT_BEFORE.search(before) or (_VERB_BEFORE.search(before) and _VERB_AFTER.search(after))
    if (
        verb
        and calling
        and not (alone and base >= CLEAR)
        and not (announced and _WANTED.search(before))
        and not _SET_AFTER.search(after)
    ):
        return Reading(INSTRUCTION, False, True)
    doing = base + ANNOUNCED * announced + COUNTED * (counted and not announced) + STARTS_SENTENCE * (not before)
    if tokens[stop - 1].plain != tokens[stop - 1].text and base < CLEAR:
        doing += IN_PLURAL
    if not corrected and is_merely_mentioned(before, after):
        doing = min(doing, 1.0) * MERELY_MENTIONED
    return Reading(round(min(doing, 1.0), 3), announced or counted, False)


def is_merely_mentioned(before: str, after: str) -> bool:
    """Return whether the words around a name compare, deny, offer an option or speak of another time."""
    return any(rule.search(before) for rule in (_DENIED, _COMPARED, _ALTERNATIVE, _PAST, _LATER)) or bool(
        _ELSEWHEN.search(after)
    )


def is_correction(tokens: Sequence[Token], first: int, stop: int) -> bool:
    """Return whether the words between two names take back the first ("hammer curl, sorry, reverse curl")."""
    between = " ".join(f"{token.plain} ," if token.pause else token.plain for token in tokens[first:stop])
    comma = ", " if first and tokens[first - 1].pause == 1 else ""
    return stop > first and _CORRECTING.search(f" {comma}{between} ") is not None


def is_list(tokens: Sequence[Token], first: int, stop: int) -> bool:
    """Return whether the words between two names only string them together ("a row and a press")."""
    return (
        stop - first <= 3
        and all(token.plain in _STRINGING for token in tokens[first:stop])
        and (stop > first or (first > 0 and tokens[first - 1].pause == 1))
        and not any(token.pause == 2 for token in tokens[max(0, first - 1) : stop])
    )


def _before(tokens: Sequence[Token], first: int) -> str:
    words: list[str] = []
    for token in reversed(tokens[max(0, first - REACH_BEFORE) : first]):
        if token.pause == 2:
            break
        words.append(f"{token.plain} ," if token.pause else token.plain)
    return "".join(f"{word} " for word in reversed(words))


def _after(tokens: Sequence[Token], stop: int) -> str:
    words = [","] if tokens[stop - 1].pause == 1 else []
    if tokens[stop - 1].pause == 2:
        return ""
    for token in tokens[stop : stop + REACH_AFTER]:
        words.append(f"{token.plain} ," if token.pause == 1 else token.plain)
        if token.pause == 2:
            break
    return "".join(f" {word}" for word in words)
