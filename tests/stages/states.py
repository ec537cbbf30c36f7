"""A support's pull in one state, of all that its stage knows."""

from engine.stages.bracing.post_pulls import PostPull, PostPulls
from engine.stages.bracing.what_pulls import StateName


def pull_in(pulls: PostPulls, state: StateName) -> PostPull:
    """The pull in that state; an error where the stage doesn't know it."""
    return next(pull for pull in pulls.each if pull.state == state)
