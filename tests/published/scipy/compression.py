"""One compression of a closed, leaking cylinder at constant speed, by SciPy's solve_ivp: compression.py > compression.json

Written independently of the simulator, from the same published parts: slider-crank, air with a heat capacity that grows with
temperature, isentropic flow through a hole, Woschni's heat transfer. The frozen answers in compression.json are this script's.
"""

import json

import numpy as np
from scipy.integrate import solve_ivp

R = 287.058
# cp/R of air, Moran & Shapiro, Table A-21 (recalled)
CP = [3.653, -1.337e-3, 3.294e-6, -1.913e-9, 0.2763e-12]
BORE, STROKE, ROD, RATIO = 0.084, 0.086, 0.1435, 9.2
AMBIENT_PA, AMBIENT_K = 101325.0, 293.0
GAMMA = 1.4
PISTON = np.pi / 4 * BORE**2
CLEARANCE = PISTON * STROKE / (RATIO - 1)

CASES = {
    "tight": {"leakMm2": 0.0, "wallHeat": 0.0, "rpm": 250},
    "small leak": {"leakMm2": 0.5, "wallHeat": 0.0, "rpm": 250},
    "large leak": {"leakMm2": 3.0, "wallHeat": 0.0, "rpm": 180},
    "warm walls": {"leakMm2": 0.6, "wallHeat": 1.0, "rpm": 220},
}
WALL_K = 340.0


def travel(a):
    r = STROKE / 2
    return r + ROD - r * np.cos(a) - np.sqrt(ROD**2 - (r * np.sin(a)) ** 2)


def volume(a):
    return CLEARANCE + PISTON * travel(a)


def dvolume(a):
    r = STROKE / 2
    return PISTON * r * np.sin(a) * (1 + r * np.cos(a) / np.sqrt(ROD**2 - (r * np.sin(a)) ** 2))


def outflow(area, p, t):
    """Mass flow out through a hole, kg/s; 0 while p is not above ambient."""
    pr = max(AMBIENT_PA / p, (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1)))
    if pr >= 1:
        return 0.0
    head = 2 * GAMMA / (GAMMA - 1) * (pr ** (2 / GAMMA) - pr ** ((GAMMA + 1) / GAMMA))
    return area * p * np.sqrt(head / (R * t))


def run(leakMm2, wallHeat, rpm):
    omega = rpm * np.pi / 30

    def slopes(time, y):
        mass, temp = y
        a = -np.pi + omega * time
        v = volume(a)
        p = mass * R * temp / v
        cv = R * (sum(c * temp**k for k, c in enumerate(CP)) - 1)
        flow = outflow(leakMm2 * 1e-6, p, temp)
        # Woschni, SAE 670931, motored (Heywood 1988, eq. 12.38 and 12.39, recalled), plus 1 m/s for residual air motion
        speed = 2.28 * STROKE * omega / np.pi + 1
        h = 3.26 * wallHeat * BORE**-0.2 * (p / 1000) ** 0.8 * temp**-0.55 * speed**0.8
        heat = h * (2.2 * PISTON + np.pi * BORE * travel(a)) * (WALL_K - temp)
        work = p * dvolume(a) * omega
        return [-flow, (heat - work - flow * R * temp) / (mass * cv)]

    start = [AMBIENT_PA * volume(-np.pi) / (R * AMBIENT_K), AMBIENT_K]
    end = (np.pi + np.pi / 4) / omega
    got = solve_ivp(slopes, (0, end), start, method="DOP853", rtol=1e-11, atol=[1e-16, 1e-9], first_step=1e-5, max_step=1e-3,
                    dense_output=True)
    time = np.linspace(0.6 * end, end, 400001)
    mass, temp = got.sol(time)
    p = mass * R * temp / volume(-np.pi + omega * time)
    top = int(np.argmax(p))
    return {
        "peakKpa": round(float(p[top]) / 1000, 5),
        "peakDeg": round(float(np.degrees(-np.pi + omega * time[top])), 4),
        "massShare": round(float(mass[top] / start[0]), 8),
        "kelvin": round(float(temp[top]), 4),
    }


print(json.dumps({name: {**case, **run(**case)} for name, case in CASES.items()}, indent=1))
