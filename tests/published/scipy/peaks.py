"""Tops of the compression strokes in trace CSV files, by SciPy: peaks.py FILE... > peaks.json

Zero from the quiet first half second, Savitzky-Golay smoothing (cubic over 14 ms), peaks by prominence, a parabola
through the smoothed top and its neighbours. The frozen answers in peaks.json are this script's.
"""

import json
import os
import sys

import numpy as np
from scipy.signal import find_peaks, savgol_filter


def samples(path):
    with open(path, encoding="utf-8") as lines:
        rows = [line.split(",") for line in lines if line[0].isdigit()]
    return np.array(rows, dtype=float).T


def tops(path):
    time, pressure = samples(path)
    step = np.median(np.diff(time))
    gauge = pressure - np.mean(pressure[time < 0.5])
    smooth = savgol_filter(gauge, int(round(0.014 / step)) | 1, 3)
    at, _ = find_peaks(smooth, prominence=0.25 * smooth.max())
    left, top, right = smooth[at - 1], smooth[at], smooth[at + 1]
    shift = 0.5 * (left - right) / (left - 2 * top + right)
    return {
        "timeS": (time[at] + shift * step).round(6).tolist(),
        "peakKpa": (top - 0.25 * (left - right) * shift).round(4).tolist(),
    }


print(json.dumps({os.path.basename(path): tops(path) for path in sys.argv[1:]}, indent=1))
