"""How the program ends: four exit statuses, and a plain sentence for everything that can go wrong."""

from __future__ import annotations

import errno
import os
import sys
import traceback
from collections.abc import Callable
from enum import IntEnum
from pathlib import Path

from sim.results.whole import FolderError
from sim.version import VERSION

TRACEBACK = "STOPLOAD_TRACEBACK"


class Status(IntEnum):
    """What the program's exit status says; where several are true the one named first counts: 2, 3, 1, 0."""

    WITHIN = 0
    OUTSIDE = 1
    INPUT = 2
    UNFINISHED = 3


class Refused(Exception):
    """The program cannot go on: what to tell, line by line, and the status to end with."""

    def __init__(self, *lines: str, status: Status = Status.INPUT) -> None:
        super().__init__("\n".join(lines))
        self.status = status


STOPPED = Refused("Stopped on your word. Nothing half-written is left.", status=Status.UNFINISHED)


def guarded(command: Callable[[], int | None], asked: str = "") -> int:
    """Run a command and give its exit status. Whatever is raised ends in a plain sentence on stderr, never a traceback.

    asked: the command line, repeated where a fault of the program itself has to be reported.
    """
    try:
        return int(command() or 0)
    except Refused as refused:
        return _end(str(refused), refused.status)
    except FolderError as taken:
        return _end(f"{taken}.", Status.INPUT)
    except KeyboardInterrupt:
        return _end(str(STOPPED), STOPPED.status)
    except BrokenPipeError:
        _forget_the_pipe()
        return Status.UNFINISHED
    except OSError as trouble:
        return _end(in_words(trouble), Status.UNFINISHED)
    except MemoryError:
        return _end("This machine has too little memory for that.", Status.UNFINISHED)
    except Exception as fault:  # noqa: BLE001  (the last stop before a traceback)
        if _usage_error(fault):
            return Status.INPUT
        return _end(_report(fault, asked), Status.UNFINISHED)


def unreadable(path: Path, trouble: OSError | UnicodeError) -> Refused:
    """What to tell when the person's own file cannot be read."""
    if isinstance(trouble, UnicodeError):
        return Refused(f"{path} is not a text file in UTF-8.")
    return Refused(f"{path} cannot be read: {_reason(trouble)}.")


def in_words(trouble: OSError) -> str:
    """What the system had against it, as a sentence."""
    where = f" ({trouble.filename})" if trouble.filename else ""
    left = " ".join(getattr(trouble, "__notes__", ())) or "Nothing half-written is left."
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        return f"The disk is full{where}. {left}"
    return f"That did not go through: {_reason(trouble)}{where}. {left}"


def _reason(trouble: OSError) -> str:
    words = {
        errno.ENOENT: "there is no such file or folder",
        errno.EACCES: "you have no right to it",
        errno.EPERM: "you have no right to it",
        errno.EISDIR: "it is a folder",
        errno.ENOTDIR: "a part of the path is not a folder",
        errno.EROFS: "the disk is read-only",
        errno.ENAMETOOLONG: "the name is too long",
    }
    return words.get(trouble.errno or 0, trouble.strerror or type(trouble).__name__)


def _usage_error(fault: Exception) -> bool:
    """Show a mistake in the command line itself, told by what it can do: which parser raises it is typer's affair."""
    show = getattr(fault, "show", None)
    if show is None or getattr(fault, "exit_code", None) != Status.INPUT:
        return False
    show()
    return True


def _report(fault: Exception, asked: str) -> str:
    if os.environ.get(TRACEBACK):
        return "".join(traceback.format_exception(fault)).rstrip()
    last = traceback.extract_tb(fault.__traceback__)[-1]
    return "\n".join(
        [
            "This is a fault of stopload, not of your file. Please report these lines:",
            f"  stopload {VERSION}, Python {sys.version.split()[0]}, {sys.platform}",
            f"  {asked}" if asked else "  (command line unknown)",
            f"  {type(fault).__name__}: {fault} ({Path(last.filename).name}, line {last.lineno}, in {last.name})",
            f"With {TRACEBACK}=1 in the environment the whole way there is shown.",
        ]
    )


def _end(message: str, status: Status) -> int:
    print(message, file=sys.stderr)
    return status


def _forget_the_pipe() -> None:
    """Whoever read our output has left: give the interpreter's last flush somewhere to go."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
