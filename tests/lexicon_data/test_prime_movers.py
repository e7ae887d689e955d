"""Which muscles lead an exercise, held against published anatomy.

Source: OpenStax, *Anatomy and Physiology*, chapter 11 "The Muscular System": section 11.3 "Axial Muscles of
the Head, Neck, and Back" (muscles that move the head and the vertebral column), 11.4 "Axial Muscles of the
Abdominal Wall, and Thorax" (muscles of the abdomen), 11.5 "Muscles of the Pectoral Girdle and Upper Limbs"
(muscles that position the pectoral girdle, that move the humerus, that move the forearm, that move the
wrist, hand and fingers) and 11.6 "Appendicular Muscles of the Pelvic Girdle and Lower Limbs" (muscles that
move the femur, the tibia and fibula, the feet and toes). The facts below are recalled from memory of that
text, in the words of ``vocabulary.yaml``: "the arm" is the humerus at the shoulder, "the forearm" is moved
at the elbow, "the thigh" at the hip, "the leg" at the knee, "the foot" at the ankle. Where the text names a
muscle's single heads or a whole group, the vocabulary's word for the group stands here (the rotator cuff is
supraspinatus, infraspinatus, teres minor and subscapularis; the hip flexors are the iliopsoas).
"""

from __future__ import annotations

import pytest

from lexicon.entries import Exercise
from lexicon.loader import load

MOVERS: dict[str, set[str]] = {
    # 11.5, muscles that move the forearm, the wrist
    "elbow flexion": {"biceps brachii", "brachialis", "brachioradialis"},
    "elbow extension": {"triceps brachii"},
    "wrist flexion": {"forearm flexors"},
    "wrist extension": {"forearm extensors"},
    # 11.5, muscles that move the humerus
    "shoulder flexion": {"pectoralis major", "anterior deltoid", "biceps brachii"},
    "shoulder extension": {"latissimus dorsi", "teres major", "posterior deltoid", "triceps brachii"},
    "shoulder abduction": {"anterior deltoid", "middle deltoid", "posterior deltoid", "rotator cuff"},
    "shoulder adduction": {"pectoralis major", "latissimus dorsi", "teres major"},
    "shoulder horizontal adduction": {"pectoralis major", "anterior deltoid"},
    "shoulder horizontal abduction": {"posterior deltoid", "rotator cuff"},
    "shoulder external rotation": {"rotator cuff", "posterior deltoid"},
    "shoulder internal rotation": {
        "rotator cuff",
        "pectoralis major",
        "latissimus dorsi",
        "teres major",
        "anterior deltoid",
    },
    # 11.5, muscles that position the pectoral girdle
    "scapular retraction": {"trapezius", "rhomboids"},
    "scapular protraction": {"serratus anterior", "pectoralis minor"},
    "scapular elevation": {"trapezius", "levator scapulae", "rhomboids"},
    "scapular depression": {"trapezius", "pectoralis minor"},
    # 11.6, muscles that move the thigh
    "hip extension": {"gluteus maximus", "hamstrings", "adductors"},
    "hip flexion": {"hip flexors", "quadriceps", "tensor fasciae latae", "adductors"},
    "hip abduction": {"gluteus medius", "gluteus minimus", "tensor fasciae latae"},
    "hip adduction": {"adductors"},
    "hip external rotation": {"gluteus maximus", "deep hip rotators", "hip flexors"},
    # 11.6, muscles that move the leg
    "knee extension": {"quadriceps"},
    "knee flexion": {"hamstrings", "gastrocnemius"},
    # 11.6, muscles that move the foot
    "ankle plantar flexion": {"gastrocnemius", "soleus"},
    "ankle dorsiflexion": {"tibialis anterior"},
    # 11.3 and 11.4, muscles that move the trunk
    "spinal flexion": {"rectus abdominis", "obliques"},
    "spinal extension": {"erector spinae", "multifidus"},
    "spinal rotation": {"obliques", "multifidus", "erector spinae"},
    "spinal lateral flexion": {"obliques", "quadratus lumborum", "erector spinae"},
}
"""Joint action -> the muscles that the source says produce it."""

OPPOSITE = {
    "elbow flexion": "elbow extension",
    "elbow extension": "elbow flexion",
    "knee flexion": "knee extension",
    "knee extension": "knee flexion",
    "hip abduction": "hip adduction",
    "hip adduction": "hip abduction",
    "ankle plantar flexion": "ankle dorsiflexion",
    "ankle dorsiflexion": "ankle plantar flexion",
    "scapular retraction": "scapular protraction",
    "wrist flexion": "wrist extension",
    "wrist extension": "wrist flexion",
}

# Exercise, what the joint does in it, and the muscles that lead that. How an exercise goes is common
# practice, no source; the muscles are the source's.
FACTS = """
biceps-curl             | elbow flexion                 | biceps brachii, brachialis
alternating-biceps-curl | elbow flexion                 | biceps brachii, brachialis
hammer-curl             | elbow flexion                 | biceps brachii, brachialis, brachioradialis
reverse-curl            | elbow flexion                 | brachioradialis, brachialis
concentration-curl      | elbow flexion                 | biceps brachii, brachialis
barbell-curl            | elbow flexion                 | biceps brachii, brachialis
band-biceps-curl        | elbow flexion                 | biceps brachii, brachialis
biceps-shelf-hold       | elbow flexion                 | biceps brachii, brachialis
chin-up                 | elbow flexion                 | biceps brachii, brachialis
wrist-curl              | wrist flexion                 | forearm flexors
reverse-wrist-curl      | wrist extension               | forearm extensors
overhead-triceps-extension | elbow extension            | triceps brachii
triceps-kickback        | elbow extension               | triceps brachii
skull-crusher           | elbow extension               | triceps brachii
band-triceps-push-down  | elbow extension               | triceps brachii
bench-dip               | elbow extension               | triceps brachii
diamond-push-up         | elbow extension               | triceps brachii
close-grip-bench-press  | elbow extension               | triceps brachii
push-up                 | shoulder horizontal adduction | pectoralis major, anterior deltoid
knee-push-up            | shoulder horizontal adduction | pectoralis major, anterior deltoid
bench-press             | shoulder horizontal adduction | pectoralis major, anterior deltoid
floor-press             | shoulder horizontal adduction | pectoralis major, anterior deltoid
chest-fly               | shoulder horizontal adduction | pectoralis major
band-chest-fly          | shoulder horizontal adduction | pectoralis major
dip                     | shoulder flexion              | pectoralis major, anterior deltoid
front-raise             | shoulder flexion              | anterior deltoid
pike-push-up            | shoulder flexion              | anterior deltoid
shoulder-press          | shoulder abduction            | anterior deltoid, middle deltoid
lateral-raise           | shoulder abduction            | middle deltoid
band-lateral-raise      | shoulder abduction            | middle deltoid
upright-row             | shoulder abduction            | middle deltoid
reverse-fly             | shoulder horizontal abduction | posterior deltoid
band-pull-apart         | shoulder horizontal abduction | posterior deltoid
band-face-pull          | shoulder horizontal abduction | posterior deltoid
pull-up                 | shoulder adduction            | latissimus dorsi
band-lat-pull-down      | shoulder adduction            | latissimus dorsi
straight-arm-band-pull-down | shoulder extension        | latissimus dorsi, teres major
pullover                | shoulder extension            | latissimus dorsi
bent-over-row           | shoulder extension            | latissimus dorsi
single-arm-row          | shoulder extension            | latissimus dorsi
inverted-row            | scapular retraction           | trapezius, rhomboids
band-row                | scapular retraction           | trapezius, rhomboids
scapular-push-up        | scapular protraction          | serratus anterior
band-serratus-punch     | scapular protraction          | serratus anterior
shrug                   | scapular elevation            | trapezius
band-external-rotation  | shoulder external rotation    | rotator cuff
side-lying-external-rotation | shoulder external rotation | rotator cuff
squat                   | knee extension                | quadriceps
goblet-squat            | knee extension                | quadriceps
front-squat             | knee extension                | quadriceps
back-squat              | hip extension                 | gluteus maximus
wall-sit                | knee extension                | quadriceps
lunge                   | knee extension                | quadriceps
reverse-lunge           | hip extension                 | gluteus maximus
split-squat             | knee extension                | quadriceps
step-up                 | hip extension                 | gluteus maximus
sumo-squat              | hip adduction                 | adductors
lateral-lunge           | hip adduction                 | adductors
romanian-deadlift       | hip extension                 | hamstrings, gluteus maximus
single-leg-romanian-deadlift | hip extension            | hamstrings, gluteus maximus
deadlift                | hip extension                 | hamstrings, gluteus maximus
good-morning            | hip extension                 | hamstrings, gluteus maximus
kettlebell-swing        | hip extension                 | hamstrings, gluteus maximus
glute-bridge            | hip extension                 | gluteus maximus
hip-thrust              | hip extension                 | gluteus maximus
donkey-kick             | hip extension                 | gluteus maximus
nordic-curl             | knee flexion                  | hamstrings
band-leg-curl           | knee flexion                  | hamstrings
band-leg-extension      | knee extension                | quadriceps
lateral-band-walk       | hip abduction                 | gluteus medius, gluteus minimus
side-lying-leg-lift     | hip abduction                 | gluteus medius
seated-band-abduction   | hip abduction                 | gluteus medius
standing-band-hip-adduction | hip adduction             | adductors
standing-band-hip-flexion | hip flexion                 | hip flexors
hanging-knee-raise      | hip flexion                   | hip flexors
calf-raise              | ankle plantar flexion         | gastrocnemius, soleus
single-leg-calf-raise   | ankle plantar flexion         | gastrocnemius, soleus
tibialis-raise          | ankle dorsiflexion            | tibialis anterior
crunch                  | spinal flexion                | rectus abdominis
sit-up                  | spinal flexion                | rectus abdominis
bicycle-crunch          | spinal rotation               | obliques
russian-twist           | spinal rotation               | obliques
weighted-side-bend      | spinal lateral flexion        | obliques
superman                | spinal extension              | erector spinae
prone-back-extension    | spinal extension              | erector spinae
"""


def facts() -> list[tuple[str, str, frozenset[str]]]:
    """Return the table above as (exercise, joint action, muscles)."""
    rows = [[cell.strip() for cell in line.split("|")] for line in FACTS.strip().splitlines()]
    return [(exercise, action, frozenset(muscles.split(", "))) for exercise, action, muscles in rows]


def is_strength(entry: Exercise) -> bool:
    """Return whether muscles are trained, not lengthened (a stretch) or only kept going (a cardio step)."""
    return not {"stretch", "mobility"} & set(entry.pattern) and "heart and lungs" not in entry.prime_movers


@pytest.mark.parametrize(("exercise", "action", "muscles"), facts(), ids=[exercise for exercise, _, _ in facts()])
def test_a_well_known_exercise_is_led_by_the_muscles_that_make_its_joint_action(
    exercise: str, action: str, muscles: frozenset[str]
) -> None:
    assert muscles <= MOVERS[action], "the fact itself has to follow from the source"
    entry = load().exercises[exercise]
    assert action in entry.joint_actions
    assert muscles <= set(entry.prime_movers)


def test_the_facts_cover_at_least_sixty_exercises_and_every_large_joint() -> None:
    assert len({exercise for exercise, _, _ in facts()}) >= 60
    assert {action.split()[0] for _, action, _ in facts()} >= {
        "shoulder",
        "scapular",
        "elbow",
        "wrist",
        "hip",
        "knee",
        "ankle",
        "spinal",
    }


def test_a_strength_exercise_of_one_joint_action_is_led_by_one_of_that_actions_movers() -> None:
    wrong = [
        (entry.id, entry.joint_actions[0], entry.prime_movers)
        for entry in load().exercises.values()
        if len(entry.joint_actions) == 1
        and entry.joint_actions[0] in MOVERS
        and is_strength(entry)
        and not MOVERS[entry.joint_actions[0]] & set(entry.prime_movers)
    ]
    assert wrong == []


def test_no_strength_exercise_of_one_joint_action_is_led_by_what_only_makes_the_opposite() -> None:
    wrong = [
        (entry.id, action, sorted(against))
        for entry in load().exercises.values()
        for action in entry.joint_actions
        if len(entry.joint_actions) == 1 and action in OPPOSITE and is_strength(entry)
        if (against := set(entry.prime_movers) & MOVERS[OPPOSITE[action]] - MOVERS[action])
    ]
    assert wrong == []
