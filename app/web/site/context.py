"""What every view needs: the folder behind the application, who asks, and the build that is asked for."""

import re
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar

from flask import abort, current_app, g, request
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.store.crew import Visitor
from app.store.db.clock import stamp, utc_now
from app.store.db.models import Build, ItemRow, Step
from app.store.folder import Folder
from app.store.plan.builds import Writer
from app.store.snapshots import Snapshots

F = TypeVar("F", bound=Callable[..., object])
# Browsers read `//` and `/\` as the beginning of another host.
_OWN_PAGE = re.compile(r"/(?![/\\])[!-\[\]-~]*", re.ASCII)


@dataclass(slots=True)
class AppState:
    """The folder that is served and the address it is served at.

    Args:
        folder: The open data folder.
        snapshots: The builds as last read.
        port: The port now in use.
        start_key: Lets the laptop's browser in, once; empty when spent.
        addresses: Gives the laptop's numbers now.
        demo: Whether the build is invented.
        names: Every name that stands on a printed tag, and the one now in use.
    """

    folder: Folder
    snapshots: Snapshots
    port: int
    start_key: str
    addresses: Callable[[], Sequence[str]]
    demo: bool
    names: frozenset[str]

    @property
    def origin(self) -> str:
        """The one address that pages should be at: name and port."""
        return f"http://{self.folder.name}.local:{self.port}"


def app_state() -> AppState:
    """Return what is behind this request."""
    found: AppState = current_app.extensions["putback"]
    return found


def reading() -> AbstractContextManager[Session]:
    """Return a read transaction."""
    return app_state().folder.database.reading()


def unit_of_work() -> AbstractContextManager[Session]:
    """Return a write transaction; it commits at its end."""
    return app_state().folder.database.unit_of_work()


def visitor() -> Visitor:
    """Return who asks; views that are not public always have one."""
    who: Visitor = g.visitor
    return who


def writer(person: str = "") -> Writer:
    """Return who writes a line from a page."""
    return Writer(person or visitor().person, visitor().device)


def now() -> datetime:
    """Return the time."""
    return utc_now()


def today() -> date:
    """Return the day on this machine's calendar."""
    return now().astimezone().date()


def now_text() -> str:
    """Return the time as it is stored."""
    return stamp(utc_now())


def snapshot(session: Session, nr: int) -> Snapshot:
    """Return a build as it stands; an unknown one is a 404. The page's head then counts its open lines."""
    found = app_state().snapshots.of(session, nr)
    if found is None:
        abort(404)
    g.build = found
    return found


def entry_of(session: Session, item_id: str) -> tuple[Snapshot, Entry]:
    """Return an item, or a step that is a line, and its build; an unknown one is a 404."""
    nr = session.scalar(
        select(Build.nr).join(ItemRow, ItemRow.build_id == Build.id).where(ItemRow.id == item_id)
    ) or _nr_of_step(session, item_id)
    build = snapshot(session, nr or 0)
    if item_id not in build.entries:
        abort(404)
    return build, build.entries[item_id]


def _nr_of_step(session: Session, step_id: str) -> int | None:
    return session.scalar(select(Build.nr).join(Step, Step.build_id == Build.id).where(Step.id == step_id))


def way_back(otherwise: str) -> str:
    """Return the page of ours that a form asks to go back to, or another where it names none."""
    back = request.form.get("back", "")
    return back if _OWN_PAGE.fullmatch(back) else otherwise


def asked_way_back(otherwise: str) -> str:
    """Return the page of ours that an address asks to go back to, or another where it names none."""
    back = request.args.get("back", "")
    return back if _OWN_PAGE.fullmatch(back) else otherwise


def public(view: F) -> F:
    """Let a view answer without a device key: the login pages."""
    view.is_public = True  # type: ignore[attr-defined] # read by `access`
    return view


def owner_only(view: F) -> F:
    """Keep a view for the owner."""
    view.is_owner_only = True  # type: ignore[attr-defined] # read by `access`
    return view


def checks_role_itself(view: F) -> F:
    """Let a view decide itself about a device that may not write: where entries come in, all are kept."""
    view.checks_role_itself = True  # type: ignore[attr-defined] # read by `access`
    return view
