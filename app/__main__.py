"""The command line: `putback` on the user's own data, `putback demo` on an invented build, lists, a check."""

import logging
import os
import secrets
import signal
import socket
import sys
import tempfile
import threading
import webbrowser
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from app.store.address import last_port
from app.store.db.clock import utc_now
from app.store.db.database import DamagedDatabaseError
from app.store.db.lock import FolderBusyError, FolderLock, FolderUnusableError
from app.store.db.migrating import MigratingError
from app.store.demo.demo import fill_demo
from app.store.folder import DATABASE_FILE, DEFAULT_PORT, Folder, open_folder
from app.web.cli.checking import run_check
from app.web.cli.lists import run_list
from app.web.cli.options import CheckOptions, ListOptions, OptionError, Options, read_command
from app.web.factory import create_app
from app.web.server.announcing import Announcer, addresses_for
from app.web.server.greeting import Reach, greeting
from app.web.server.serving import PortError, Server, listen, listen_where_free

REFUSED = 2
"""The exit status when nothing was started and nothing touched."""

_REFUSALS = (
    OptionError,
    PortError,
    FolderBusyError,
    FolderUnusableError,
    MigratingError,
    DamagedDatabaseError,
)
# Closing the terminal's window stops the server as Ctrl+C does; not every system has every signal.
_STOP_SIGNALS = [
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)
]
_NAME_KNOWN_WITHIN_S = 4


def main(arguments: Sequence[str] | None = None) -> int:
    """Start the server and answer until it is stopped, or do what is asked about a list or a folder.

    Returns:
        0 after a clean stop, 1 for a list with bad rows or a folder with damage; 2 where it could not start
        or do what was asked, with one sentence on standard error.
    """
    try:
        options = read_command(arguments)
        if isinstance(options, ListOptions):
            return run_list(options)
        if isinstance(options, CheckOptions):
            return run_check(options)
        _quieten()
        _on_stop(signal.default_int_handler)
        with ExitStack() as closing:
            _serve(options, closing)
    except _REFUSALS as error:
        return _refuse(str(error))
    except OSError as error:
        return _refuse(
            f"Putback cannot go on: {error.strerror or error} ({error.filename or 'no file named'})."
        )
    except KeyboardInterrupt:
        return 0  # stopped while it was starting
    return 0


def _serve(options: Options, closing: ExitStack) -> None:
    """Start one thing after the other, and stop them in the reverse order."""
    path = _folder_path(options, closing)
    port = options.port or last_port(path) or DEFAULT_PORT
    listener = closing.enter_context(_first_listener(options.host, port, path))
    folder = _open(path, options, port)
    closing.callback(folder.close)
    key = secrets.token_urlsafe(16)
    addresses = addresses_for(options.host)
    app = create_app(folder, port=port, start_key=key, addresses=addresses, demo=folder.demo)
    old_ports = [printed for printed in folder.printed_ports if printed != port]
    server = Server(app, [listener, *listen_where_free(options.host, old_ports)])
    announcer = Announcer((folder.name, *folder.printed_names), port, addresses=addresses, say=_say)
    announcer.start()
    closing.callback(announcer.close)
    announcer.settled.wait(_NAME_KNOWN_WITHIN_S)
    name = "" if folder.name in announcer.taken else folder.name
    reach = Reach(options.host, port, name, addresses(), key)
    folder.lock.leave_note(next(iter(reach.for_phones), reach.start_link.partition("start/")[0]))
    # From the greeting on, people stop it: nothing may lie between.
    _on_stop(lambda *_: server.close())
    _say(greeting(path, reach, demo=folder.demo, printed=folder.printed()))
    if options.browser:
        _open_browser(reach.start_link)
    server.run()
    _say("Stopped.")


def _folder_path(options: Options, closing: ExitStack) -> Path:
    if options.data is None:
        return Path(closing.enter_context(tempfile.TemporaryDirectory(prefix="putback-demo-")))
    if options.demo and options.data.is_dir() and any(options.data.iterdir()):
        raise OptionError(f"{options.data} is not empty: the demo wants a folder of its own.")
    return options.data


def _first_listener(host: str, port: int, path: Path) -> socket.socket:
    """Listen before the folder is touched; a second start on one folder is told of the folder."""
    try:
        return listen(host, port)
    except PortError:
        if (path / DATABASE_FILE).exists():
            FolderLock.take(path).release()
        raise


def _open(path: Path, options: Options, port: int) -> Folder:
    folder = open_folder(path, now=utc_now(), demo=options.demo)
    try:
        name = options.name or folder.name
        folder.remember_address(name, port)
        folder = replace(folder, name=name, port=port)
        if options.demo:
            fill_demo(folder, now=utc_now())
    except BaseException:
        folder.close()
        raise
    return folder


def _open_browser(address: str) -> None:
    # Without a screen some systems would open a browser inside this terminal.
    if sys.platform in {"win32", "darwin"} or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


def _on_stop(act: Callable[..., object]) -> None:
    for number in _STOP_SIGNALS:
        signal.signal(number, act)


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201 - the terminal is where this is read


def _refuse(sentence: str) -> int:
    print(sentence, file=sys.stderr)  # noqa: T201 - the one sentence for the person
    return REFUSED


def _quieten() -> None:
    """Keep the libraries' own notes off the terminal: a busy moment or a lost network is no fault."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    logging.getLogger("zeroconf").setLevel(logging.CRITICAL)


if __name__ == "__main__":
    sys.exit(main())
