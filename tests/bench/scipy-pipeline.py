"""Peaks of a compression trace the way SciPy does it, timed: scipy-pipeline.py FILE RATE_HZ

FILE holds little-endian float64 pressures in kPa, evenly sampled. For every line on standard input the whole pipeline
runs once (zero, Savitzky-Golay smoothing, peaks by prominence, a parabola through each top) and prints one line:
milliseconds, number of peaks, median peak in kPa.
"""

import sys
import time

import numpy as np
from scipy.signal import find_peaks, savgol_filter

WINDOW_S = 0.011
QUIET_S = 0.5
PROMINENCE = 0.25


def pipeline(pressure, rate):
    zeroed = pressure - np.median(pressure[: int(QUIET_S * rate)])
    window = max(5, int(WINDOW_S * rate) | 1)
    smooth = savgol_filter(zeroed, window, 3)
    at, _ = find_peaks(smooth, prominence=PROMINENCE * smooth.max())
    left, top, right = smooth[at - 1], smooth[at], smooth[at + 1]
    shift = 0.5 * (left - right) / (left - 2 * top + right)
    return top - 0.25 * (left - right) * shift


def main():
    pressure = np.fromfile(sys.argv[1], dtype="<f8")
    rate = float(sys.argv[2])
    for _ in sys.stdin:
        started = time.perf_counter()
        peaks = pipeline(pressure, rate)
        spent = time.perf_counter() - started
        print(f"{1000 * spent:.3f} {len(peaks)} {np.median(peaks):.3f}", flush=True)


main()
