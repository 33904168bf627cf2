"""Fit: layouts without slivers, ranked, for a maker who has not cut anything yet.

Comes in: a design and what is kept, the strips or the opening. Goes out: candidates, the best
first, each a few changes of the design with the score it comes to. Where no layout is better than
the given one, there are no candidates.

Closed forms come first, then the search by events. A quick look at the edges chooses the place of
the pattern for every proposal; the most promising are then laid and grouped as the plan does it.
How much is tried is counted, never timed::

    closed forms, events -> proposals -> place of the pattern -> shortlist -> score -> ranked
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice, zip_longest

from tesselath.design import Design
from tesselath.errors import TesselathError
from tesselath.fit.fit_change import Change, change_design
from tesselath.fit.fit_closed import Proposal
from tesselath.fit.fit_free import may_move_opening
from tesselath.fit.fit_ground import cells_of
from tesselath.fit.fit_place import place_pattern
from tesselath.fit.fit_propose import how_far, is_same, propose
from tesselath.fit.fit_score import Rank, Score, rank_score, score_design

__all__ = ["Candidate", "Fit", "FitList", "best_shift", "fit_design", "list_names"]

#: Proposals looked at for one list, and how many of them are laid and scored [count].
_MOST_PROPOSALS, _SHORTLIST = 64, 10
#: Strips in all cells that are looked at for one list, and the fewest proposals [count].
_MOST_STRIPS, _FEWEST = 1_500, 24
#: With so many layouts that keep the limits at a quick look, the others are left alone [count].
_ENOUGH = 4


#: A promise is kept when it is missed by less than this, in strips.
_HAIR = 0.02


@dataclass(frozen=True, slots=True)
class Candidate:
    """One layout: what is changed, what that keeps of its promise, the design, its score."""

    changes: tuple[Change, ...]
    promise: str
    design: Design
    score: Score
    rank: Rank


@dataclass(frozen=True, slots=True)
class FitList:
    """The layouts of one list, the best first; ``keep`` is "strip", "opening" or "place".

    ``tried`` counts the proposals looked at, ``scored`` those laid and scored.
    """

    keep: str
    candidates: tuple[Candidate, ...]
    tried: int
    scored: int


@dataclass(frozen=True, slots=True)
class Fit:
    """What came of a fit: the design as given with its score, and the lists."""

    given: Candidate
    lists: tuple[FitList, ...]

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """All candidates in the order in which they are numbered from 1."""
        return tuple(candidate for one in self.lists for candidate in one.candidates)


def fit_design(
    design: Design, *, keep: str | None = None, top: int = 5, trials: int = _MOST_PROPOSALS
) -> Fit:
    """Look for layouts without slivers.

    Parameters
    ----------
    keep : {"strip", "opening"}, optional
        What stays. Left out, both are looked at, unless the opening cannot move.
    top : int
        How many candidates are given at most for each list [count].
    trials : int
        How many proposals are looked at for each list [count].

    Raises
    ------
    DesignError, PatternError
        If the design itself cannot be laid.
    """
    if isinstance(design.field.filling.shift, str):
        design = best_shift(design)
    given = _as_given(design)
    names = list_names(design, keep=keep)
    return Fit(given, tuple(_fit_list(given, name, top, trials) for name in names))


def list_names(design: Design, *, keep: str | None) -> tuple[str, ...]:
    """Say which lists are made: both, unless one is asked for or the opening never moves."""
    if keep is not None:
        return (keep,)
    return ("strip", "opening") if may_move_opening(design) else ("opening",)


def best_shift(design: Design) -> Design:
    """Give a design whose field's shift the fit has chosen, everything else as it is.

    Parameters
    ----------
    design : Design
        The design; its shift may be "best".

    Returns
    -------
    Design
        The same with a shift of two lengths.

    Raises
    ------
    DesignError, PatternError
        If it cannot be laid.
    """
    plain = change_design(design, [Change("field.shift", (0.0, 0.0), "shift")])
    better = _fit_list(_as_given(plain), "place", 1, 1).candidates
    return better[0].design if better else plain


def _as_given(design: Design) -> Candidate:
    score = score_design(design)
    rank = rank_score(score, given=score.thin, nearness=0.0)
    return Candidate((), "", design, score, rank)


def _fit_list(given: Candidate, keep: str, top: int, trials: int) -> FitList:
    """Make one list: propose, place, shortlist, score."""
    design = given.design
    looked: list[tuple[tuple[float, ...], Proposal]] = []
    tried = 0
    cells = cells_of(design)
    strips = 1 if cells is None else len(cells.outlines)
    # A large repeat takes longer to look at, so fewer proposals are.
    most = min(trials, max(_FEWEST, _MOST_STRIPS // strips))
    for proposal in islice(propose(design, keep=keep), most):
        tried += 1
        looked += _place(design, proposal, alone=keep == "place")
    looked.sort(key=lambda look: look[0])  # of equals the first proposed stays first
    holding = [look for look in looked if look[0][0] == 0.0]
    if len(holding) >= _ENOUGH:
        looked = holding
    shortlist = _shortlist([proposal for _, proposal in looked], one_size=keep == "place")
    scored = [_score(given, proposal) for proposal in shortlist]
    better = [one for one in scored if one is not None and one.rank < given.rank]
    # What misses a limit is shown only where nothing keeps both.
    better = [one for one in better if one.score.holds] or better
    better.sort(key=lambda candidate: candidate.rank)
    return FitList(keep, _each_way(better, top), tried, len(shortlist))


def _shortlist(proposals: list[Proposal], *, one_size: bool) -> list[Proposal]:
    """Choose what is laid and scored: the best of each way to change the design in turn."""
    ways: dict[frozenset[str], list[Proposal]] = {}
    for proposal in proposals:
        way = ways.setdefault(_way(proposal.changes), [])
        if one_size or not any(is_same(proposal.changes, known.changes) for known in way):
            way.append(proposal)
    turns = zip_longest(*ways.values())
    return [proposal for turn in turns for proposal in turn if proposal is not None][:_SHORTLIST]


def _each_way(ranked: list[Candidate], top: int) -> tuple[Candidate, ...]:
    """Keep the best of each way first, then the next best, all in their order."""
    ways: set[frozenset[str]] = set()
    told: set[tuple[object, ...]] = set()
    first: list[Candidate] = []
    others: list[Candidate] = []
    for candidate in ranked:
        way = _way(candidate.changes)
        # Who reads the list gains nothing by a second layout of the same words.
        words = (way, *_gains(candidate))
        if words in told:
            continue
        told.add(words)
        (others if way in ways else first).append(candidate)
        ways.add(way)
    chosen = [id(candidate) for candidate in [*first, *others][:top]]
    return tuple(candidate for candidate in ranked if id(candidate) in chosen)


def _gains(candidate: Candidate) -> tuple[object, ...]:
    """What a layout is praised for, as finely as the tape tells it."""
    score, tape = candidate.score, candidate.design.tape
    thinnest, shortest = round(score.thinnest / tape), round(score.shortest / tape)
    return score.parts, score.by_hand, score.alike, thinnest, shortest


def _way(changes: tuple[Change, ...]) -> frozenset[str]:
    """What kind of change a layout asks for, the place of the pattern aside."""
    return frozenset(change.key for change in changes if change.key != "field.shift")


def _score(given: Candidate, proposal: Proposal) -> Candidate | None:
    """Lay a proposal as the plan would, and score it; None where it cannot be laid."""
    design = change_design(given.design, proposal.changes)
    try:
        score = score_design(design)
    except TesselathError:
        return None
    near = how_far(given.design, proposal.changes)
    rank = rank_score(score, given=given.score.thin, nearness=near)
    kept = score.thin >= proposal.thin - _HAIR
    return Candidate(proposal.changes, proposal.promise if kept else "", design, score, rank)


def _place(
    design: Design, proposal: Proposal, *, alone: bool
) -> Iterator[tuple[tuple[float, ...], Proposal]]:
    """Choose where the pattern lies, by a quick look; the best places are kept."""
    changed = change_design(design, proposal.changes)
    near = round(how_far(design, proposal.changes), 3)
    try:
        placed = place_pattern(changed, keep=_SHORTLIST if alone else 2, alone=alone)
    except TesselathError:
        return
    for shift, key in placed:
        changes = proposal.changes
        if shift is not None:
            changes = (*changes, Change("field.shift", shift, "shift"))
        if changes:
            # Nearness comes before thickness, as in the score.
            yield (*key[:3], near, *key[3:]), replace(proposal, changes=changes)
