"""Published instances: the optimum found, and never more claimed than is true.

Sources and licences: tests/data/cutting-stock/README.md. The whole sets run with --profile ci; the
table with times and rivals comes from tests/benchmarks/cutting_sticks.py.
"""

from __future__ import annotations

import pytest
from sawdust import CASES, KNOWN, check_plan_cuts, mitred, read_instance

from tesselath.cutting import Sawing, StickKind, StickPlan, check_certificate, plan_sticks

OPTIMA = {row["name"]: int(row["optimum"]) for row in KNOWN}
PROVEN_SETS = ("Falkenauer U", "Falkenauer T", "Scholl 1", "Scholl 2", "Schwerin")
QUICK = (
    "fal_u120_00",
    "fal_u250_12",
    "fal_t60_00",
    "sch1_N1C2W2_F",
    "sch1_N4C1W1_M",
    "sch2_N1W1B1R0",
    "sch2_N4W4B1R2",
    "swe1_BPP1",
    "swe2_BPP77",
    "strip_p01",
    "strip_p06",
)
#: One more stick is needed than the linear program says: no proof by prices can exist.
ONE_ABOVE_THE_PROGRAM = ("hard28_BPP14", "hard28_BPP359", "hard28_BPP716", "hard28_BPP119")


def solve(name: str, effort: float) -> StickPlan:
    pieces, length = read_instance(name)
    kinds, sawing = [StickKind(length)], Sawing(1.0, 0.0)
    plan = plan_sticks(pieces, kinds=kinds, sawing=sawing, effort=effort)
    counts: dict[str, int] = {}
    weights = {piece.mark: piece.length for piece in pieces}
    for stick in plan.sticks:
        assert sum(weights[placed.mark] for placed in stick.pieces) <= length
        for placed in stick.pieces:
            counts[placed.mark] = counts.get(placed.mark, 0) + 1
    assert counts == {piece.mark: piece.demand for piece in pieces}
    proven = check_certificate(plan.certificate, pieces, kinds=kinds, sawing=sawing)
    assert proven == plan.certificate.least <= plan.least
    assert proven == plan.least or plan.by_search
    return plan


@pytest.mark.parametrize("name", QUICK)
def test_the_published_optimum_is_found_and_proven(name: str) -> None:
    plan = solve(name, 10.0)
    assert plan.bought == plan.least == OPTIMA[name]
    assert plan.status == "the least possible"


def test_an_optimum_above_the_linear_program_is_not_claimed_to_be_beatable_or_beaten() -> None:
    plan = solve("hard28_BPP716", 1.5)
    assert plan.certificate.least == 75
    assert plan.least <= OPTIMA["hard28_BPP716"] == 76 <= plan.bought


@pytest.mark.parametrize("job", CASES["jobs_runs_not_degrees"][:3], ids=lambda job: job["name"])
def test_mitred_jobs_take_the_proven_number_of_sticks(job: dict) -> None:
    _mitred_job(job)


@pytest.mark.deep
@pytest.mark.parametrize("name", [row["name"] for row in KNOWN if row["set"] in PROVEN_SETS])
def test_whole_sets_are_solved_and_proven_within_ten_seconds_each(name: str) -> None:
    plan = solve(name, 10.0)
    assert plan.bought == plan.least == OPTIMA[name]


@pytest.mark.deep
@pytest.mark.parametrize("name", [row["name"] for row in KNOWN if row["set"] not in PROVEN_SETS])
def test_hard_instances_are_never_proven_wrong(name: str) -> None:
    plan = solve(name, 30.0)
    assert plan.least <= OPTIMA[name] <= plan.bought <= OPTIMA[name] + 1
    if name in ONE_ABOVE_THE_PROGRAM:
        assert plan.certificate.least == OPTIMA[name] - 1


@pytest.mark.deep
@pytest.mark.parametrize("job", CASES["jobs_runs_not_degrees"][3:], ids=lambda job: job["name"])
def test_more_mitred_jobs_take_the_proven_number_of_sticks(job: dict) -> None:
    _mitred_job(job)


def _mitred_job(job: dict) -> None:
    # mitre_cases.json: own bound and own plan agree there.
    pieces = [
        mitred(f"P{n}", *size[:3], size[3], turn=job["rotate"], roll=job["flip"])
        for n, size in enumerate(job["pieces"])
    ]
    kinds = [StickKind(job["L"])]
    sawing = Sawing(job["w"], job["k"], job["rule"], shortest_loose=0.0)
    plan = plan_sticks(pieces, kinds=kinds, sawing=sawing)
    check_plan_cuts(plan.sticks, pieces, kinds, sawing)
    assert check_certificate(plan.certificate, pieces, kinds=kinds, sawing=sawing) <= plan.least
    assert plan.least <= job["optimum"] <= plan.bought <= job["optimum"] + 1
    if job["name"].startswith("long"):
        assert plan.bought == plan.least == job["optimum"]
