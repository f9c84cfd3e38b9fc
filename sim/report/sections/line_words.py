"""What the figures of a line are called in a report, by subject and field of `sim.results.lines`."""

from __future__ import annotations

from collections.abc import Mapping

SUBJECTS: Mapping[str, str] = {
    "recoil": "If it parts",
    "own_weight": "Its own weight",
    "bends": "Bends in the planned move",
    "creep": "Creep while the performer hangs at rest",
    "spin": "Spin",
    "heat": "Heat",
    "in_water": "Water",
}
SEVERAL: Mapping[str, str] = {"spans": "spans at rest", "places": "where it is bent"}
"""Fields that hold several of a kind, after the words of their subject."""
WORDS: Mapping[str, Mapping[str, str]] = {
    "recoil": {
        "breaking_strength_N": "breaking strength",
        "energy_at_break_J_per_m": "energy at break, a metre",
        "energy_at_break_low_J_per_m": "the same, at least by its curve's range",
        "energy_at_break_high_J_per_m": "the same, at most by its curve's range",
        "energy_at_break_J": "energy at break, in the longest length out",
        "peak_force_N": "greatest force of any case",
        "energy_at_peak_J": "energy at that force",
        "snap_back_speed_m_s": "speed of the parted end, at most",
        "beside.type": "beside it, as strong",
        "beside.diameter_m": "its diameter",
        "beside.energy_at_break_J_per_m": "its energy at break, a metre",
        "beside.snap_back_speed_m_s": "its parted end, at most",
    },
    "own_weight": {
        "mass_kg_per_m": "mass per length",
        "out_m": "line out at rest",
        "longest_out_m": "line out at most",
        "out_kg": "mass of the line out at rest",
        "performer": "who hangs on it",
        "on_performer_N": "weight of it that is borne there",
        "on_performer_share": "the same, of body weight",
        "out_share": "mass of the line out, of the performer's",
        "name": "span",
        "way_m": "straight way",
        "rise_m": "rise",
        "tension_N": "tension",
        "sag_m": "sag",
        "line_in_sag_m": "more line than the way",
    },
    "bends": {
        "per_move": "bends in one move, where it is bent most",
        "per_thousand_moves": "in a thousand moves",
        "moves_per_season": "moves in a season",
        "per_season": "bends in a season",
        "life_bends": "bending life, in bends",
        "moves_in_life": "moves in that life",
        "seasons_in_life": "seasons in that life",
        "not_counted": "not counted at",
        "name": "at",
        "bends": "bends",
        "run_over_m": "line run over it",
        "D_to_d": "D:d",
        "relative_life": "life, of that over the D:d it wants",
    },
    "creep": {
        "tension_N": "hanging at",
        "load_percent": "of its strength",
        "per_decade_percent": "longer with each tenfold time",
        "first_hour_m": "longer in the first hour, at most",
        "first_day_m": "longer in the first day, at most",
    },
    "spin": {
        "on": "who or what it turns",
        "free": "free to turn",
        "hang_m": "longest hang",
        "tension_N": "hanging at",
        "torque_Nm": "torque while held from turning",
        "turns": "turns of a free end",
        "swivel": "swivel",
    },
    "heat": {
        "hottest_degC": "hottest stated",
        "at": "where",
        "limit_degC": "in use up to",
        "margin_degC": "left to that",
        "strength_left": "factor counted on its strength",
    },
    "in_water": {
        "floats": "floats",
        "soaked_kg_per_m": "mass per length with all the water it holds",
        "weight_in_water_N_per_m": "weight of a metre under water",
        "wet": "counted as wet",
        "wet_strength": "factor counted on its strength",
        "under": "under water at the start",
    },
}
