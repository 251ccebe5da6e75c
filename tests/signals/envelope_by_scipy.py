#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Envelope of an amplitude-modulated tone in a band by SciPy, for envelope_test.cpp:
scipy.signal.hilbert after a band cut out with cosine flanks. Prints the values at 0.25 … 1.75 s."""
import numpy as np
import scipy
from scipy import signal

rate, count, low, high = 20000.0, 40000, 1000.0, 6000.0
t = np.arange(count) / rate
x = ((1 + 0.6 * np.cos(2 * np.pi * 27 * t) + 0.3 * np.sin(2 * np.pi * 13.5 * t))
     * np.cos(2 * np.pi * 3000 * t + 0.4)
     + 0.8 * np.sin(2 * np.pi * 90 * t) + 0.5 * np.cos(2 * np.pi * 8200 * t))
f = np.abs(np.fft.fftfreq(count, 1 / rate))
flank = 0.1 * (high - low)


def rise(above):
    return 0.5 - 0.5 * np.cos(np.pi * np.clip(above / flank + 0.5, 0, 1))


band = np.fft.ifft(np.fft.fft(x) * rise(f - low) * rise(high - f)).real
envelope = np.abs(signal.hilbert(band))
print(f"// NumPy {np.__version__}, SciPy {scipy.__version__}")
print(", ".join(f"{v:.9g}" for v in envelope[5000:40000:5000]))
