"""How complete the angle finder's answers are, what is missing, and how each is set, in words."""

from gridjig.solve.angles.answers import (
    GRAIN,
    NEAR_ENOUGH,
    AngleAnswer,
    AngleNote,
    AngleResult,
    AngleWay,
    FewAsked,
    FewBeside,
    NoEqualPins,
    NoneOfWay,
    SetHow,
)
from gridjig.solve.angles.arm_lines import MEASURED
from gridjig.solve.angles.finder import FREE_WAYS
from gridjig.units import (
    MILLIMETRES,
    Display,
    format_angle_error,
    format_count,
    format_fineness,
    format_measure,
)

from .angle_way_text import steps_words

WAY_WORDS: dict[AngleWay, str] = {
    "pins": "two equal pins",
    "two sizes": "two pins of different sizes",
    "shims": "two equal pins, one packed with shims",
    "astride": "two pins astride the member, one at each long face",
    "arm": "one piece on two pins: an arm in its lock hole, an angle block, a square",
    "scale": "arm set by its scale",
    "plate": "one-off cut plate on two holes",
}

_NONE_LEFT: dict[AngleWay, str] = {
    "pins": "The rack has no two equal pins left.",
    "two sizes": "The rack has no two pins of different sizes for these holes.",
    "shims": "The rack has no two equal pins with shims.",
    "astride": "Two pins astride need a member with two long faces; this face has none opposite.",
    "arm": "No piece with a face reaches between two holes within these limits.",
    "scale": "No arm on the rack can be set to this angle within these limits.",
    "plate": "No two holes within these limits are 35 to 1000 mm apart, as a cut plate needs.",
}

_SET: dict[SetHow, str] = {
    "any equal pins": "any two equal pins; the rack has none that fit these holes",
    "by scale": "set by its scale; the chord is from base to leaf, this far out from the pivot",
    "by hand": "turned by hand and measured to {measured}; the chord is from"
    " table x to the arm, this far out from the pivot",
    "to be cut": "to be cut: two pin holes and the edge at these distances from them",
}


def set_words(answer: AngleAnswer, display: Display = MILLIMETRES) -> str:
    """Return what has to be done for an answer, without a full stop; empty if it is only pinned."""
    if answer.set_how is None:
        return ""
    return _SET[answer.set_how].format(measured=format_measure(MEASURED, display))


def statement_words(answers: AngleResult) -> str:
    """Return how much was looked at, and what follows from it, in sentences."""
    looked_at, limits = answers.looked_at, answers.limits
    fine = format_fineness(GRAIN, limits.display)
    if limits.along is not None:
        pairs = f"{looked_at.hole_pairs} pairs of holes beside the face"
        if not answers.ranked:
            return f"None of the {pairs} gives an answer that fits."
        near = format_measure(NEAR_ENOUGH, limits.display)
        return (
            f"All {pairs} were tried, with {looked_at.answers} answers in all; everything listed "
            f"can be set. First come those that hold the angle within class "
            f"{limits.angle_class or 'D'} even with play and leave at most {near} open: the least "
            f"to pack first, then the least error, compared to {fine} at the far end, then the "
            "longest base."
        )
    pairs = f"{looked_at.hole_pairs} pairs of holes in {looked_at.steps} different steps"
    if not looked_at.answers:
        return f"None of the {pairs} within the limits gives an answer."
    text = (
        f"All {pairs} within the limits were tried, with {looked_at.answers} answers in all; none "
        f"is closer than those listed, compared to {fine} at the far end."
    )
    return " ".join(filter(None, (text, unmet_words(answers))))


def unmet_words(answers: AngleResult) -> str:
    """Return that nothing meets the class, and what a cut plate would do; else empty."""
    limits, offer = answers.limits, answers.offer
    if answers.within is not False or limits.angle_class is None:
        return ""
    what = "on the rack" if {*limits.ways, "plate"} >= FREE_WAYS else "of the kinds asked for"
    text = (
        f"Nothing {what} comes within class {limits.angle_class}; the nearest of each kind is "
        "listed."
    )
    if offer is None:
        return text
    if offer.verdict.meets(limits.angle_class):
        with_play = offer.verdict.with_play
        plays = with_play is None or with_play > limits.angle_class
        return f"{text} A cut plate would meet it{', but for the play of its pins' * plays}."
    if offer.verdict.finest is None:
        return f"{text} A cut plate meets no class either."
    return f"{text} A cut plate meets only class {offer.verdict.finest}."


def missing_words(note: AngleNote) -> str:
    """Return what is missing from the answers, and why, in a sentence."""
    match note:
        case FewBeside(nearest, others):
            return (
                f"Of the pins in holes beside the face, the nearest {format_count(nearest)} were"
                f" looked at; {format_count(others)} farther ones were not."
            )
        case FewAsked(first):
            return f"Only the first {first} of each kind were checked for what is in their way."
        case NoneOfWay(way, False):
            return f"No two free holes have a base within the limits ({WAY_WORDS[way]})."
        case NoneOfWay(way):
            return _NONE_LEFT[way]
    return _equal_pins_words(note)


def _equal_pins_words(note: NoEqualPins) -> str:
    if note.nearest_arcmin is None:
        return "Two equal pins give nothing: no two of them are left for holes beside this face."
    off = format_angle_error(note.nearest_arcmin, "under ")
    holes = steps_words(note.steps)
    if note.asked is not None:
        return (
            f"Two equal pins give nothing within class {note.asked}: the nearest pair of holes"
            f" ({holes}) is {off} off."
        )
    near = "has the angle" if abs(note.nearest_arcmin) < 5e-4 else f"is {off} off"
    return (
        f"Two equal pins with equal packing do not fit here, though a pair of holes ({holes})"
        f" {near}."
    )


def left_out_words(answers: AngleResult) -> str:
    """Return how many answers are left out because of obstacles, and the first reason."""
    many = answers.fouled
    if not many:
        return ""
    what = "1 answer is" if many == 1 else f"{many} answers are"
    return f"{what} left out because something is in the way. The first: {answers.why_fouled}"


def complete_words(answers: AngleResult) -> str:
    """Return how complete the list is, and why some ways have no answer."""
    looked_at = answers.looked_at
    pairs = f"{looked_at.hole_pairs} pairs of holes in {looked_at.steps} steps"
    if answers.limits.along is not None:
        text = (
            f"All {looked_at.hole_pairs} pairs of holes beside the face were tried; everything "
            "listed can be set; of those that close the gap and hold the angle, the least packing "
            "first."
            if answers.ranked or answers.nearest
            else f"None of {looked_at.hole_pairs} pairs of holes beside the face can be set."
        )
        return " ".join(
            filter(None, (text, *map(missing_words, answers.notes), left_out_words(answers)))
        )
    text = (
        f"All {pairs} were tried; nothing within the limits is closer."
        if looked_at.answers
        else f"None of {pairs} within the limits gives an answer."
    )
    return " ".join(
        filter(None, (text, *map(missing_words, answers.notes), left_out_words(answers)))
    )
