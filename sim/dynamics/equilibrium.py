"""The state of rest: no net force on any free point, sag or frictionless gate, the length of every line kept.

Newton's method on the forces of the compiled right-hand side, damped by an added diagonal that success lowers and
failure raises, so it finds its way from slack lines too (Levenberg and Marquardt; Nocedal and Wright, Numerical
Optimization, ch. 10).

Line that runs from one slack span into the next changes both sags by much and the lengths by little, and its stretch by
next to nothing: a narrow, bent valley, along which that method creeps. Where it has not arrived soon it is tried again
with the sags no unknowns of their own: for every length and place tried, each span hangs as it would at rest there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import tables as tb
from sim.dynamics.rhs import energy, rhs
from sim.dynamics.sagging import Sags

LARGEST_STEP_M = 2.0
MOST_TURNS = 300
SOON_TURNS = 60  # of 3,000 random rigs nine in ten take fewer than 20


@dataclass(frozen=True)
class Rest:
    """The state at rest (states,), the largest force left (N) and where: a gate, a sag or a point's number."""

    state: NDArray[np.float64]
    left_over_N: float
    where: str
    turns: int


class _Problem:
    """Unknowns: metres moved by free points along their directions, line through gates, sag of spans."""

    def __init__(self, m: tb.Model, w: tb.Work, y: NDArray, free: list[int], gates: bool) -> None:
        self.m, self.w, self.y = m, w, y.copy()
        self.free = free
        self.gates = [j for j, g in enumerate(m.gates) if g["state"] >= 0 and gates]
        self.sags = [i for i, s in enumerate(m.spans) if s["sag"] >= 0]
        self.guides = {i: self._axes(i) for i in free}
        columns = sum(len(a) for a in self.guides.values()) + len(self.gates) + len(self.sags)
        self.moves = np.zeros((columns, len(y)))
        self._fill_moves()
        self.dy = np.zeros(len(y))

    def _axes(self, i: int) -> NDArray:
        p = self.m.points[i]
        return np.array([[p["gx"], p["gy"], p["gz"]]]) if p["guided"] else np.eye(3)

    def _fill_moves(self) -> None:
        row = 0
        for i in self.free:
            k = int(self.m.points[i]["state"])
            for axis in self.guides[i]:
                self.moves[row, k : k + 3] = axis
                row += 1
        for j in self.gates:
            gate = self.m.gates[j]
            self.moves[row, self.m.elements[gate["before"]]["state"]] = -1.0
            self.moves[row, self.m.elements[gate["after"]]["state"]] = 1.0
            row += 1
        for i in self.sags:
            self.moves[row, self.m.spans[i]["sag"]] = 1.0
            row += 1

    def modes_from_strain(self, y: NDArray) -> None:
        """Every element taut or slack as its strain says."""
        self.w.elements["mode"] = tb.TAUT
        rhs(0.0, y, self.dy, self.m, self.w)
        self.w.elements["mode"][self.w.elements["strain"] <= 0.0] = tb.SLACK

    def forces(self, y: NDArray) -> NDArray | None:
        """Force conjugate to every unknown (N); None where a line has no length left."""
        self.modes_from_strain(y)
        if not rhs(0.0, y, self.dy, self.m, self.w):
            return None
        on_point = self._forces_at_fixed_lengths()
        out = []
        for i in self.free:
            out += list(self.guides[i] @ on_point[i])
        for j in self.gates:
            out.append(self.w.gates[j]["force"] / self.w.gates[j]["relaxed"])
        for i in self.sags:
            e = self.m.spans[i]["first"]
            inertia = tb.SAG_INERTIA * self.m.elements[e]["rho"] * y[self.m.elements[e]["state"]]
            out.append(self.dy[self.m.spans[i]["sag"] + 1] * inertia)
        return np.array(out)

    def _forces_at_fixed_lengths(self) -> NDArray:
        """Forces on points when no line flows through interior gates; the solver's own let the line stay in place."""
        out = np.stack([self.w.points[x] for x in ("fx", "fy", "fz")], axis=1)
        for j, gate in enumerate(self.m.gates):
            if gate["kind"] == tb.INTERIOR:
                span, i = self.m.spans[gate["span"]], int(gate["span"])
                pull = self.w.gates[j]["force"] * np.array([self.w.spans[i][x] for x in ("ux", "uy", "uz")])
                out[span["a"]] += (1.0 - gate["fraction"]) * pull
                out[span["b"]] += gate["fraction"] * pull
        return out

    def energy(self) -> float:
        """Potential energy (J) of the state last asked for its forces."""
        return float(energy(self.y_last, self.m, self.w)[1])

    y_last: NDArray

    def at(self, y: NDArray) -> tuple[NDArray, float] | None:
        """Forces and energy of a state."""
        force = self.forces(y)
        if force is None:
            return None
        self.y_last = y
        return force, self.energy()

    def stiffness(self, y: NDArray) -> NDArray:
        """Minus the derivative of the forces on what may move, by central differences, symmetric."""
        n = len(self.moves)
        h = np.zeros((n, n))
        for c in range(n):
            for step in (1e-7, 1e-9):
                plus, minus = self.forces(y + step * self.moves[c]), self.forces(y - step * self.moves[c])
                if plus is not None and minus is not None:
                    h[:, c] = ((minus - plus) / (2 * step))[:n]
                    break
        return 0.5 * (h + h.T)

    def name(self, row: int) -> str:
        """What the row is a force on."""
        for i in self.free:
            if row < len(self.guides[i]):
                return f"point {i}"
            row -= len(self.guides[i])
        return f"gate {self.gates[row]}" if row < len(self.gates) else f"span {self.sags[row - len(self.gates)]}"


class _SagsSettled(_Problem):
    """The same with every sag where it hangs at rest, whatever else is tried: unknown are only points and gates."""

    def __init__(self, m: tb.Model, w: tb.Work, y: NDArray, free: list[int], gates: bool) -> None:
        super().__init__(m, w, y, free, gates)
        self.moves = self.moves[: len(self.moves) - len(self.sags)]
        self._settled = Sags(m, self.sags)

    def forces(self, y: NDArray) -> NDArray | None:
        """As before, once y has been given its sags."""
        self.modes_from_strain(y)
        return super().forces(y) if self._settled.settle(y, self.w) else None


def find_rest(m: tb.Model, w: tb.Work, y: NDArray, free: list[int], gates: bool, enough_N: float) -> Rest:
    """The state of rest reached from y. free: points that move; gates: whether line may run through sheaves.

    Stops when no force is above enough_N, or when it cannot get closer; the caller judges what is left.
    """
    p = _Problem(m, w, y, free, gates)
    rest = _descend(p, SOON_TURNS if p.sags else MOST_TURNS, enough_N)
    if p.sags and not rest.left_over_N <= enough_N:
        other = _descend(_SagsSettled(m, w, y, free, gates), MOST_TURNS, enough_N)
        rest = min(rest, other, key=lambda found: found.left_over_N)
    p.forces(rest.state)
    return rest


def _descend(p: _Problem, most_turns: int, enough_N: float) -> Rest:
    """From where the problem begins, downhill, until no force is above enough_N or no way leads further."""
    now = p.at(p.y)
    if now is None:
        return Rest(p.y, np.inf, "", 0)
    force, pot = now
    damp, turns, moving = 1e-9, 0, len(p.moves)
    while moving and turns < most_turns and float(np.abs(force).max()) > enough_N:
        turns += 1
        h = p.stiffness(p.y)
        size = float(np.abs(np.diag(h)).max()) or 1.0
        stuck = True
        for _ in range(40):
            try:
                step = np.linalg.solve(h + damp * size * np.eye(moving), force[:moving])
            except np.linalg.LinAlgError:
                damp = max(damp * 10, 1e-12)
                continue
            step *= min(1.0, LARGEST_STEP_M / max(float(np.abs(step).max()), 1e-30))
            trial = p.y + step @ p.moves
            new = p.at(trial)
            if new is not None and _better(new, (force, pot)):
                p.y, (force, pot), stuck = trial, new, False
                damp = max(damp / 10, 1e-14)
                break
            damp = max(damp * 10, 1e-12)
        if stuck:
            break
    if not len(force):
        return Rest(p.y, 0.0, "", 0)
    worst = int(np.abs(force).argmax())
    return Rest(p.y, float(np.abs(force[worst])), p.name(worst), turns)


def _better(new: tuple[NDArray, float], old: tuple[NDArray, float]) -> bool:
    """Lower energy; near the bottom, where energy no longer shows it, less force."""
    margin = 1e-12 * (abs(old[1]) + 1.0)
    if new[1] < old[1] - margin:
        return True
    return new[1] < old[1] + 10 * margin and float(np.linalg.norm(new[0])) < float(np.linalg.norm(old[0]))
