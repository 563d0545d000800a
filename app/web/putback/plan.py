"""The plan of putting back: changes of height, a split between people, the time left, the steps drawn."""

from collections.abc import Mapping, Sequence

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from app.core.builds.missing_roles import missing_in_plan
from app.core.builds.snapshot import Snapshot
from app.core.builds.work import ON_NO_VEHICLE, Work, jobs_of, zone_places
from app.core.plan.heights import HeightPlan, changes_in, fewest_changes
from app.core.plan.jobs import Job
from app.core.plan.minutes import Range, minutes_left
from app.core.plan.sharing import Split, share_in_runs
from app.core.problem import Problem
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.plan import clock, heights_text, hours, learned_text, range_text, split_text
from app.store import crew
from app.store.plan.builds import layout
from app.store.plan.minutes import recorded_minutes, step_minutes
from app.web.putback import plan_view
from app.web.site.context import reading, snapshot
from app.web.site.form import read_number

bp = Blueprint("plan", __name__)
MOST_PEOPLE = 3
HEIGHTS = [(key, words) for key, words in HEIGHT_TEXT.items() if key not in ON_NO_VEHICLE]
ORDERS = [
    ("kept", "As it came off, where work meets"),
    ("held", "Only what holds, joins or covers"),
]


@bp.get("/b/<int:nr>/plan")
def index(nr: int) -> ResponseReturnValue:
    """Show the plan for who is here and how the vehicle stands."""
    with reading() as session:
        build = snapshot(session, nr)
        here = len(crew.doers(session))
        recorded = recorded_minutes(session, build)
    if build.cycle:
        return render_template("putback/cycle.html", members=build.cycle)
    order = _order()
    works = jobs_of(build, recorded, keep=order == "kept")
    jobs = [work.job for work in works if work.open]
    asked = _asked(max([here, *(job.people for job in jobs)]), order)
    plan = fewest_changes(
        jobs, start=asked["height"], places=zone_places(build, layout(build.layout)["zones"])
    )
    is_sure = build.is_proved and not any(work.cannot_stand for work in works)
    return render_template(
        "putback/plan/index.html",
        asked=asked,
        missing=missing_in_plan(build),
        orders=ORDERS,
        heights=HEIGHTS,
        most_people=MOST_PEOPLE,
        to_do=len(jobs),
        done=len(works) - len(jobs),
        **_heights(plan, jobs, works, asked["height"], is_sure=is_sure),
        **_split(plan, jobs, works, read_number(asked["people"])),
        **_minutes(build, works, recorded),
        **_drawn(works),
    )


def _order() -> str:
    order = request.args.get("order", "")
    return order if order in dict(ORDERS) else ORDERS[0][0]


def _asked(here: int, order: str) -> dict[str, str]:
    """Return what the form asks for; what it cannot ask for is as if it had not been asked.

    Unless somebody says how many are here, it is planned for as many as the largest job needs.
    """
    people = read_number(request.args.get("people", str(min(max(1, here), MOST_PEOPLE))))
    height = request.args.get("height", "")
    return {
        "people": str(min(people, MOST_PEOPLE)),
        "height": height if height in dict(HEIGHTS) else "",
        "order": order,
    }


def _heights(
    plan: HeightPlan, jobs: Sequence[Job], works: Sequence[Work], start: str, *, is_sure: bool
) -> dict[str, object]:
    by_id = {work.job.id: work for work in works}
    return {
        "heights_summary": heights_text(plan, changes_in(jobs, start), is_sure=is_sure),
        "stair": plan_view.stair(plan.runs),
        "runs": [
            (HEIGHT_TEXT.get(run.height, "no height needed"), [_row(by_id[i]) for i in run.jobs])
            for run in plan.runs
        ],
    }


def _row(work: Work) -> dict[str, str]:
    beside = "" if work.job.height else HEIGHT_TEXT.get(work.height, "")
    beside = "the vehicle cannot stand so yet" if work.cannot_stand else beside
    return {"name": plan_view.name_of(work), "minutes": hours(work.job.minutes), "beside": beside}


def _split(plan: HeightPlan, jobs: Sequence[Job], works: Sequence[Work], people: int) -> dict[str, object]:
    by_id = {work.job.id: work for work in works}
    split = share_in_runs(jobs, plan.runs, people)
    if not isinstance(split, Split):
        return {"split": None, "problems": [_named(problem, by_id) for problem in split]}
    turns = [
        {
            "start": clock(turn.start),
            "end": clock(turn.end),
            "who": " + ".join(str(person + 1) for person in turn.people),
            "name": plan_view.name_of(by_id[turn.job]),
        }
        for turn in split.turns
    ]
    return {"split": split, "split_summary": split_text(split, people), "turns": turns, "problems": []}


def _named(problem: Problem, works: Mapping[str, Work]) -> str:
    work = works.get(problem.where)
    return f"{plan_view.name_of(work)}: {problem.message}" if work else problem.message


def _minutes(
    build: Snapshot, works: Sequence[Work], recorded: Mapping[str, tuple[int, int]]
) -> dict[str, object]:
    steps = step_minutes(works, build, recorded)
    found = minutes_left(steps)
    if not isinstance(found, Range):
        return {"range_summary": found[0].message, "learned_summary": ""}
    known = sum(1 for step in steps if step.off)
    return {"range_summary": range_text(found), "learned_summary": learned_text(found, known)}


def _drawn(works: Sequence[Work]) -> dict[str, object]:
    by_id = {work.job.id: work for work in works}
    listed = [
        (plan_view.name_of(work), plan_view.state_of(work), plan_view.outstanding_of(work, by_id))
        for work in works
    ]
    found = plan_view.graph(works)
    if found is None:
        return {"drawing": None, "listed": listed}
    drawing, cards = found
    wires = [plan_view.wire_path(wire.points) for wire in drawing.wires]
    return {
        "drawing": drawing,
        "cards": cards,
        "wires": wires,
        "shape": plan_view.SHAPE,
        "frame": plan_view.frame(drawing),
        "listed": listed,
    }
