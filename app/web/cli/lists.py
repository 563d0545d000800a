"""`putback import`, `export` and `order`: a build as a list, without a server."""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.builds.snapshot import Snapshot
from app.core.cycles import CycleError
from app.core.lists.bytes import MOST_BYTES
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.core.problem import Problem
from app.store.db.clock import new_id, stamp, utc_now
from app.store.db.database import DamagedDatabaseError, reading_beside
from app.store.db.migrating import refuse_other_tables
from app.store.db.models import Build
from app.store.folder import DATABASE_FILE, open_folder
from app.store.journal import last_seq
from app.store.lists.lists import effect_of, write_list, zone_labels
from app.store.lists.names import fitting_layout
from app.store.loading import load
from app.store.plan.builds import Writer, new_build
from app.web.cli.options import ListOptions, OptionError
from app.web.lists.words import effect_text, remark_text

BAD_ROWS = 1
DEFAULT_LAYOUT = "transverse"
_LONGEST_TITLE = 80


def run_list(options: ListOptions) -> int:
    """Do what was asked.

    Returns:
        0; 1 where rows of the list are bad, each named on standard error.

    Raises:
        OptionError: The file or the build is not there, or the file is no list.
        FolderBusyError: A running Putback owns the folder and something was to be written.
    """
    if options.what == "import":
        return _import(options)
    with _reading(options.data) as session:
        build = _loaded(session, _only_build(session, options))
    _say(export_list(build) if options.what == "export" else _order(build, options))
    return 0


def _order(build: Snapshot, options: ListOptions) -> str:
    try:
        lines = order_lines(build, as_listed=options.json)
    except CycleError as error:
        names = " → ".join(build.entries[member].item.name for member in error.members)
        raise OptionError(f"There is no order: these wait for each other: {names}.") from error
    if options.json:
        return json.dumps([line.fields() for line in lines], ensure_ascii=False, indent=1) + "\n"
    return "".join(f"{n:4}  {line.words}\n" for n, line in enumerate(lines, 1))


def _import(options: ListOptions) -> int:
    file = options.file or Path()
    plan = read_list(_bytes_of(file))
    if not isinstance(plan, ListPlan):
        if not plan[0].where:
            raise OptionError(f"{file.name}: {plan[0].message} Nothing was written.")
        return _name_bad(file, plan)
    if options.build and not (options.data / DATABASE_FILE).exists():
        raise OptionError(f"{options.data} has no build {options.build}.")
    now = utc_now()
    folder = open_folder(options.data, now=now)
    try:
        with folder.database.unit_of_work() as session:
            said = _write_list(session, options, plan, stamp(now))
    except (DatabaseError, KeyboardInterrupt) as error:
        why = error.orig if isinstance(error, DatabaseError) else "it was stopped"
        raise OptionError(f"The list could not be put in ({why}): nothing was written.") from error
    finally:
        folder.close()
    _say(said)
    return 0


def _write_list(session: Session, options: ListOptions, plan: ListPlan, now: str) -> str:
    nr = _only_build(session, options) if options.build or session.scalars(select(Build.nr)).first() else 0
    made = "" if nr else _make_build(session, options, plan, now)
    build = _loaded(session, nr or 1)
    effect = effect_of(build, plan)
    if effect.there and effect.there == effect.items:
        raise OptionError(
            f"All {effect.items} items of this list are in build {build.nr} already, by kind, name and step: "
            "nothing was written."
        )
    writer = Writer("", "")
    line = writer.line(f"build:{build.id}", "edit", {"list": effect.items}, new_id())
    write_list(session, build, plan, line, writer=writer, now=now)
    into = f"Put into build {build.nr}, «{build.title}»{made}:"
    return "\n".join([into, *effect_text(effect), *remark_text(plan.remarks)]) + "\n"


def _make_build(session: Session, options: ListOptions, plan: ListPlan, now: str) -> str:
    """Make the folder's first build, with the zones of a layout and no steps but those of the list."""
    key = options.layout or fitting_layout(zone_labels(plan), DEFAULT_LAYOUT)
    stem = (options.file or Path()).stem.encode("utf-8", "replace").decode()
    title = "".join(sign if sign.isprintable() else " " for sign in stem)[:_LONGEST_TITLE].strip()
    new_build(
        session,
        title=title or "From a list",
        vehicle="",
        layout_key=key,
        units="N·m",
        dialect="us",
        writer=Writer("", ""),
        now=now,
        starter_steps=False,
    )
    session.flush()
    return f", made now with the zones of «{key}» and the steps of the list"


def _bytes_of(file: Path) -> bytes:
    try:
        with file.open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise OptionError(f"{file} cannot be read: {error.strerror or error}.") from error


def _name_bad(file: Path, problems: tuple[Problem, ...]) -> int:
    many = "One thing is" if len(problems) == 1 else f"{len(problems)} things are"
    lines = [f"{file.name}: nothing was written. {many} wrong:", *remark_text(problems)]
    sys.stderr.write("\n".join(lines) + "\n")
    return BAD_ROWS


@contextmanager
def _reading(folder: Path) -> Iterator[Session]:
    """Read a folder that a running Putback may own.

    Raises:
        OptionError: There is none.
        MigratingError: It is of another version.
        DamagedDatabaseError: It cannot be read.
    """
    path = folder / DATABASE_FILE
    if not path.is_file():
        raise OptionError(f"{folder} holds no build: start putback there, or import a list.")
    refuse_other_tables(path)
    try:
        with reading_beside(path) as session:
            yield session
    except DatabaseError as error:
        raise DamagedDatabaseError(path) from error


def _only_build(session: Session, options: ListOptions) -> int:
    """Return the number of the build that is meant.

    Raises:
        OptionError: There is none of that number, or several and none is named.
    """
    builds = session.scalars(select(Build).order_by(Build.nr)).all()
    if options.build in {build.nr for build in builds}:
        return options.build or 0
    there = ", ".join(f"{build.nr} «{build.title}»" for build in builds) or "none"
    if options.build:
        raise OptionError(f"{options.data} has no build {options.build}. There: {there}.")
    if not builds:
        raise OptionError(f"{options.data} holds no build: start putback there, or import a list.")
    if len(builds) != 1:
        raise OptionError(f"Say which build with --build N. In {options.data}: {there}.")
    return builds[0].nr


def _loaded(session: Session, nr: int) -> Snapshot:
    build = load(session, nr, last_seq(session))
    if build is None:
        raise OptionError(f"There is no build {nr}.")
    return build


def _say(text: str) -> None:
    """Print in UTF-8 whatever the terminal's own coding is: the text may go into a file."""
    sys.stdout.flush()
    try:
        sys.stdout.buffer.write(text.encode("utf-8", "replace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        # What reads has seen enough; the interpreter must not try again at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
