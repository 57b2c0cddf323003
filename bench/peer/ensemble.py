"""Hover, full command and hover time for many draws of one craft, with NumPy and SciPy.

The problems that `flight` and `power` solve for every draw, written as an engineer would write them in
Python: where rotors, motors, controllers and a sagging battery settle, in a hover at a given thrust and
at full command, and how long the hover lasts to a landing voltage under load. Once draw by draw
(`scipy.optimize.brentq` where a root must be found), once vectorised over all draws (closed form for
the hover, Newton's rule for full command, bisection for the charge at landing). `ensemble` is all three.

Prints one JSON object: `seconds`, the best of some repeats for each way; `medians`, the answers, so
that speed is not compared between programs that compute different things. The clock runs over the
solutions only, not over the drawing of inputs. `--draws N` and `--repeats K` change the size.

Equations, per rotor, n in revolutions per second (propeller convention, Kv in rpm/V):
  thrust T = CT rho n^2 D^4, torque Q = CP rho n^2 D^5 / (2 pi)
  motor, first order: I = k Q + I0, V = I R + omega / k, k = Kv 2 pi / 60
  bus: V_bus = E - R_pack I_bus, I_bus = N d I / eta + P_load / V_bus, duty d = V / V_bus
  time: d(charge)/dt = -P / (Q V_bus(charge)), forty mid-points from full to the landing volts
"""

import argparse
import gc
import json
import math
import time
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtri
from scipy.stats import qmc

GRAVITY = 9.80665  # m/s^2, 3rd CGPM, 1901
TWO_PI = 2.0 * math.pi


class Craft(NamedTuple):
    """One craft, or a column of draws in every field. SI units, Kv in rpm/V."""

    mass_kg: float
    ct: float
    cp: float
    kv_rpm_per_volt: float
    motor_ohm: float
    no_load_amp: float
    controller_efficiency: float
    load_watt: float
    open_circuit_volt: float
    pack_ohm: float
    density: float
    capacity_ah: float


ROTORS = 4
DIAMETER_M = 0.051

# An invented two-cell craft of 75 g. Centre, and one standard deviation as a share of it: how well
# a builder knows these from labels and a kitchen scale.
CENTRE = Craft(0.075, 0.19, 0.13, 8000.0, 0.15, 0.2, 0.95, 4.0, 7.586, 0.05, 1.225, 0.423)
SPREAD = Craft(0.02, 0.10, 0.10, 0.05, 0.20, 0.30, 0.02, 0.20, 0.01, 0.30, 0.02, 0.04)

SERIES = 2
LANDING_VOLT = 3.5  # each cell, under load
PANELS = 40

# Resting volts of a polymer cell over its charge, the table that `power` uses.
TABLE = Path(__file__).parents[2] / "crates/validation/data/propulsion-cell-ocv.csv"
CHARGE, REST_VOLT = np.loadtxt(TABLE, delimiter=",", skiprows=6, usecols=(0, 1)).T

# Largest difference between the two ways, as a share: both stop near the last digits of a double.
AGREEMENT = 1e-9


def draws(count: int) -> Craft:
    """Scrambled Sobol points turned into log-normal inputs (the efficiency into a normal one)."""
    dimensions = len(CENTRE)
    points = qmc.Sobol(dimensions, scramble=True, rng=1).random(count)
    normal = ndtri(np.clip(points, 1e-12, 1.0 - 1e-12))
    columns = np.asarray(CENTRE) * np.exp(normal * np.asarray(SPREAD))
    efficiency = Craft._fields.index("controller_efficiency")
    columns[:, efficiency] = np.minimum(
        CENTRE.controller_efficiency + SPREAD.controller_efficiency * normal[:, efficiency], 0.99
    )
    return Craft(*np.ascontiguousarray(columns.T))


# --- Draw by draw -----------------------------------------------------------------------------


def hover_of_one(craft: Craft) -> tuple[float, float]:
    """Bus volts and duty in a hover; not a number if the battery cannot give the power."""
    thrust = craft.mass_kg * GRAVITY / ROTORS
    n = math.sqrt(thrust / (craft.ct * craft.density * DIAMETER_M**4))
    k = craft.kv_rpm_per_volt * TWO_PI / 60.0
    torque = craft.cp * craft.density * n * n * DIAMETER_M**5 / TWO_PI
    amp = k * torque + craft.no_load_amp
    volt = amp * craft.motor_ohm + TWO_PI * n / k
    watt = ROTORS * volt * amp / craft.controller_efficiency + craft.load_watt
    room = craft.open_circuit_volt**2 - 4.0 * craft.pack_ohm * watt
    if room < 0.0:
        return math.nan, math.nan
    bus = 0.5 * (craft.open_circuit_volt + math.sqrt(room))
    return bus, volt / bus


def full_of_one(craft: Craft) -> tuple[float, float]:
    """Bus volts and thrust over weight at full command, where the motor has the whole bus."""
    k = craft.kv_rpm_per_volt * TWO_PI / 60.0
    torque_factor = craft.cp * craft.density * DIAMETER_M**5 / TWO_PI

    def motor(n: float) -> tuple[float, float]:
        amp = k * torque_factor * n * n + craft.no_load_amp
        return amp, amp * craft.motor_ohm + TWO_PI * n / k

    def surplus(n: float) -> float:
        amp, volt = motor(n)
        bus_amp = ROTORS * amp / craft.controller_efficiency + craft.load_watt / volt
        return craft.open_circuit_volt - craft.pack_ohm * bus_amp - volt

    no_load = craft.open_circuit_volt * k / TWO_PI
    n = brentq(surplus, 0.1 * no_load, no_load, xtol=1e-12 * no_load, rtol=1e-14)
    thrust = craft.ct * craft.density * n * n * DIAMETER_M**4
    return motor(n)[1], ROTORS * thrust / (craft.mass_kg * GRAVITY)


def time_of_one(craft: Craft) -> tuple[float, float]:
    """Seconds of hover to the landing volts, and the charge left."""
    thrust = craft.mass_kg * GRAVITY / ROTORS
    n = math.sqrt(thrust / (craft.ct * craft.density * DIAMETER_M**4))
    k = craft.kv_rpm_per_volt * TWO_PI / 60.0
    amp = k * craft.cp * craft.density * n * n * DIAMETER_M**5 / TWO_PI + craft.no_load_amp
    volt = amp * craft.motor_ohm + TWO_PI * n / k
    watt = ROTORS * volt * amp / craft.controller_efficiency + craft.load_watt
    landing = SERIES * LANDING_VOLT
    wanted = landing + craft.pack_ohm * watt / landing

    def rest(charge: float) -> float:
        return SERIES * float(np.interp(charge, CHARGE, REST_VOLT))

    if rest(1.0) <= wanted:
        return 0.0, 1.0
    left = brentq(lambda charge: rest(charge) - wanted, 0.0, 1.0, xtol=1e-12, rtol=1e-14)
    step = (1.0 - left) / PANELS
    joule = 0.0
    for panel in range(PANELS):
        emf = rest(left + (panel + 0.5) * step)
        bus = 0.5 * (emf + math.sqrt(emf * emf - 4.0 * craft.pack_ohm * watt))
        joule += bus * step
    return 3600.0 * craft.capacity_ah * joule / watt, left


def each(solve, columns: Craft) -> np.ndarray:
    """`solve` for one draw after the other; two rows, one column for each draw."""
    rows = zip(*(column.tolist() for column in columns))
    return np.array([solve(Craft(*row)) for row in rows]).T


# --- Vectorised -------------------------------------------------------------------------------


def hover_of_all(craft: Craft) -> np.ndarray:
    """As `hover_of_one`, for all draws at once."""
    thrust = craft.mass_kg * (GRAVITY / ROTORS)
    n = np.sqrt(thrust / (craft.ct * craft.density * DIAMETER_M**4))
    k = craft.kv_rpm_per_volt * (TWO_PI / 60.0)
    torque = craft.cp * craft.density * n * n * (DIAMETER_M**5 / TWO_PI)
    amp = k * torque + craft.no_load_amp
    volt = amp * craft.motor_ohm + TWO_PI * n / k
    watt = ROTORS * volt * amp / craft.controller_efficiency + craft.load_watt
    room = craft.open_circuit_volt**2 - 4.0 * craft.pack_ohm * watt
    with np.errstate(invalid="ignore"):
        bus = 0.5 * (craft.open_circuit_volt + np.sqrt(room))
    return np.stack([bus, volt / bus])


def full_of_all(craft: Craft) -> np.ndarray:
    """As `full_of_one`, for all draws at once.

    The deficit rises and curves upwards in n where it matters, so Newton's rule from the no-load
    speed, which is above the root, walks down to it without overshooting.
    """
    k = craft.kv_rpm_per_volt * (TWO_PI / 60.0)
    amp_factor = k * craft.cp * craft.density * (DIAMETER_M**5 / TWO_PI)
    back_emf = TWO_PI / k
    pack_share = craft.pack_ohm * ROTORS / craft.controller_efficiency
    n = craft.open_circuit_volt / back_emf
    for _ in range(50):
        amp = amp_factor * n * n + craft.no_load_amp
        volt = amp * craft.motor_ohm + back_emf * n
        load = craft.pack_ohm * craft.load_watt / volt
        deficit = pack_share * amp + load + volt - craft.open_circuit_volt
        amp_slope = 2.0 * amp_factor * n
        volt_slope = amp_slope * craft.motor_ohm + back_emf
        step = deficit / (pack_share * amp_slope + volt_slope * (1.0 - load / volt))
        n = n - step
        if np.max(np.abs(step) / n) < 1e-12:
            break
    volt = (amp_factor * n * n + craft.no_load_amp) * craft.motor_ohm + back_emf * n
    thrust = craft.ct * craft.density * n * n * DIAMETER_M**4
    return np.stack([volt, ROTORS * thrust / (craft.mass_kg * GRAVITY)])


def time_of_all(craft: Craft) -> np.ndarray:
    """As `time_of_one`, for all draws at once."""
    thrust = craft.mass_kg * (GRAVITY / ROTORS)
    n = np.sqrt(thrust / (craft.ct * craft.density * DIAMETER_M**4))
    k = craft.kv_rpm_per_volt * (TWO_PI / 60.0)
    amp = k * craft.cp * craft.density * n * n * (DIAMETER_M**5 / TWO_PI) + craft.no_load_amp
    volt = amp * craft.motor_ohm + TWO_PI * n / k
    watt = ROTORS * volt * amp / craft.controller_efficiency + craft.load_watt
    landing = SERIES * LANDING_VOLT
    wanted = (landing + craft.pack_ohm * watt / landing) / SERIES
    # The table rises, so the charge at a resting voltage is the table read the other way.
    left = np.interp(wanted, REST_VOLT, CHARGE)
    step = (1.0 - left) / PANELS
    middles = left + (np.arange(PANELS)[:, None] + 0.5) * step
    emf = SERIES * np.interp(middles, CHARGE, REST_VOLT)
    bus = 0.5 * (emf + np.sqrt(emf * emf - 4.0 * craft.pack_ohm * watt))
    return np.stack([3600.0 * craft.capacity_ah * bus.sum(axis=0) * step / watt, left])


# --- Timing -----------------------------------------------------------------------------------


def best_of(repeats: int, solve) -> tuple[float, np.ndarray]:
    """Shortest of `repeats` runs [s], with the garbage collector out of the way, and the answer."""
    gc.collect()
    gc.disable()
    shortest = math.inf
    for _ in range(repeats):
        start = time.perf_counter()
        answer = solve()
        shortest = min(shortest, time.perf_counter() - start)
    gc.enable()
    return shortest, answer


def main() -> None:
    """Time both ways, hold their answers against each other, print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--draws", type=int, default=2048)
    parser.add_argument("--repeats", type=int, default=20)
    arguments = parser.parse_args()
    columns = draws(arguments.draws)

    ways = {
        "hover": (lambda: each(hover_of_one, columns), lambda: hover_of_all(columns)),
        "full": (lambda: each(full_of_one, columns), lambda: full_of_all(columns)),
        "time": (lambda: each(time_of_one, columns), lambda: time_of_all(columns)),
    }
    names = {"hover": ("bus_v", "duty"), "full": ("bus_v", "thrust_to_weight"), "time": ("hover_s", "charge_left")}
    seconds, medians = {}, {}
    for problem, (one_by_one, vectorised) in ways.items():
        # The slow way needs fewer repeats for a steady best.
        slow, expected = best_of(max(3, arguments.repeats // 4), one_by_one)
        fast, found = best_of(10 * arguments.repeats, vectorised)
        np.testing.assert_allclose(found, expected, rtol=AGREEMENT, equal_nan=True)
        seconds[f"{problem}/per draw"], seconds[f"{problem}/vectorised"] = slow, fast
        for name, values in zip(names[problem], found):
            medians[f"{problem}.{name}"] = float(np.nanmedian(values))
    for way in ("per draw", "vectorised"):
        seconds[f"ensemble/{way}"] = sum(seconds[f"{problem}/{way}"] for problem in ways)
    print(json.dumps({"draws": arguments.draws, "seconds": seconds, "medians": medians}))


if __name__ == "__main__":
    main()
