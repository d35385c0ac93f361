"""A photo of a part, of a spot of it, or of a step. The picture itself is kept among the attachments, by its digest."""

from __future__ import annotations

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Who, Word, Words, kind, of_words, refusal
from blockwright.acts.roles import Role
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.whole import route_of
from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.jobfile.attachments import KEPT
from blockwright.jobfile.near import meant_or_listed
from blockwright.problems import BlockwrightError, Problem, excerpt

OF = ("part", "feature", "at", "spot")


def _attached(job: Job, words: Words, who: Who) -> Body:
    if not KEPT.fullmatch(words["photo"]):
        what = f"'{excerpt(words['photo'])}' is no photo among the attachments."
        raise refusal(
            "photo",
            Problem(
                "photo-unknown",
                what,
                "Keep the photo first; it is called by the first signs of its digest: 0123456789abcdef.jpg",
            ),
        )
    body = {name: words[name] for name in ("photo", "name", "note", *OF) if name in words}
    if "step" in words:
        try:
            body["step"] = step_meant(words["step"], [step.key for step in route_of(job).steps])
        except BlockwrightError as error:
            raise of_words(error, {}, "step") from None
    elif "part" not in words:
        raise refusal("part", Problem("photo-of-what", "the photo is of nothing.", "Name a part or a step."))
    if "part" in words and words["part"] not in job.parts:
        what = f"no part bears the mark '{excerpt(words['part'])}'."
        raise refusal(
            "part", Problem("part-unknown", what, meant_or_listed(words["part"], list(job.parts), "Possible"))
        )
    if "feature" in words and words["feature"] not in FEATURES:
        what = f"there is no feature '{excerpt(words['feature'])}'."
        raise refusal(
            "feature",
            Problem("feature-unknown", what, meant_or_listed(words["feature"], list(FEATURES), "Some that are known")),
        )
    return body


def _unchanged(job: Job, body: Body) -> Job:
    return job


KINDS = (
    kind(
        "photo attached",
        "A photo was taken of a part, of a spot of it, or of a step.",
        (
            Word("photo", "name by which it is kept: 0123456789abcdef.jpg", required=True),
            Word("name", "name that it came with"),
            Word("part", "mark of the part"),
            Word("feature", "what of the part"),
            Word("at", "position of that"),
            Word("spot", "spot of that"),
            Word("step", "key of the step"),
            Word("note", "what it shows"),
        ),
        role=Role.MEASURER,
        draft=_attached,
        apply=_unchanged,
    ),
)
