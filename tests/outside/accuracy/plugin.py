"""How the comparisons of a run come together: the fixture `agrees`, and the page written or held against the run.

Rows travel with the reports of their tests, so workers of pytest-xdist need nothing else. They are gathered where the
run is controlled, whose end writes the page (`--accuracy-page`, of the files that ran) or, after a full run that
passed, fails when the page says otherwise.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from tests.outside.accuracy.page import FOLDER, PAGES, Page, PageError, by_file, line_of, read, stale_pages, write
from tests.outside.accuracy.rows import Agrees, Row

PROPERTY = "accuracy row"
ROWS = pytest.StashKey[list[Row]]()
SAID = pytest.StashKey[list[str]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    """The one option."""
    parser.addoption(
        "--accuracy-page",
        action="store_true",
        help="write tests/outside/ACCURACY.md and LEAVES_OUT.md from the files that run",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Nothing gathered yet; workers only hand on."""
    config.stash[ROWS], config.stash[SAID] = [], []
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(Gathers(config), "accuracy page")


@pytest.fixture
def agrees(request: pytest.FixtureRequest) -> Agrees:
    """Checks that become rows of the accuracy page; for tests that every run makes, or the page would go stale."""
    path = Path(str(request.node.path))
    if path.parent != FOLDER:
        raise pytest.UsageError("agrees is for the tests in tests/outside")
    if any(request.node.get_closest_marker(mark) for mark in ("slow", "benchmark")):
        raise pytest.UsageError("a test that is left out by default cannot be on the accuracy page")
    place, count = request.session.items.index(request.node), itertools.count()
    properties = request.node.user_properties
    return Agrees(path.name, lambda row: properties.append((PROPERTY, row.as_plain())), lambda: (place, next(count)))


def gather(config: pytest.Config, report: pytest.TestReport) -> None:
    """Keeps the rows of a finished test."""
    if report.when == "call":
        plain = [value for name, value in report.user_properties if name == PROPERTY]
        config.stash[ROWS] += [Row.from_plain(value) for value in plain if isinstance(value, dict)]


class Gathers:
    """Hooks of the one that controls the run."""

    def __init__(self, config: pytest.Config) -> None:
        self.config = config

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Here or from a worker."""
        gather(self.config, report)

    @pytest.hookimpl(tryfirst=True)
    def pytest_sessionfinish(self, session: pytest.Session, exitstatus: int) -> None:
        """Writes the page, or holds it against the run."""
        said = self.config.stash[SAID]
        try:
            if self.config.getoption("accuracy_page"):
                said += _write(self.config, exitstatus)
            elif exitstatus == pytest.ExitCode.OK and whole(self.config):
                said += stale_pages(self.config.stash[ROWS])
        except (PageError, OSError) as error:
            said.append(str(error))
        if said:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Says what is wrong with the page."""
        said = self.config.stash[SAID]
        if said:
            terminalreporter.section("accuracy page", red=True, bold=True)
            for line in said[:40]:
                terminalreporter.line(line)
            if len(said) > 40:
                terminalreporter.line(f"... and {len(said) - 40} more")
            terminalreporter.line("to write it: pytest tests/outside --accuracy-page")


def _write(config: pytest.Config, exitstatus: int) -> list[str]:
    if exitstatus != pytest.ExitCode.OK:
        return ["not written: not every test passed"]
    if _chosen(config):
        return ["not written: only part of a file's tests ran"]
    for page in PAGES:
        _write_page(page, [row for row in config.stash[ROWS] if page.holds(row.file)], anew=whole(config))
    return []


def _write_page(page: Page, rows: list[Row], *, anew: bool) -> None:
    sections = {} if anew or not page.path.exists() else read(page.path.read_text(encoding="utf-8"))
    kept = {file: lines for file, lines in sections.items() if (FOLDER / file).exists()}
    fresh = {file: [line_of(row) for row in inside] for file, inside in by_file(rows).items()}
    page.path.write_text(write({**kept, **fresh}, page), encoding="utf-8")


def _chosen(config: pytest.Config) -> bool:
    """Whether tests were picked within files."""
    picked = any("::" in arg for arg in config.args)
    options = ("keyword", "lf", "deselect", "collectonly", "maxfail")
    return picked or any(config.getoption(name, None) for name in options) or _marks(config)


def _marks(config: pytest.Config) -> bool:
    usual = config.getini("addopts")
    return config.getoption("markexpr", "") != usual[usual.index("-m") + 1]


def whole(config: pytest.Config) -> bool:
    """Whether all of this folder was asked for, with nothing picked out."""
    asked = [(config.invocation_params.dir / arg).resolve() for arg in config.args if "::" not in arg]
    return not _chosen(config) and any(path == FOLDER or path in FOLDER.parents for path in asked)
