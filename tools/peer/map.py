#!/usr/bin/env python3
"""The map that BenchmarkMapHundredThousand in internal/field computes, in NumPy.

It is the measured peer of the Go program: float64, array operations over blocks
of places, two threads. It shares no code with it, and both print
the same means.

Definition. 64 elements of 0.5 mm at a pitch of 0.6 mm; the first 35 mm behind
the origin and 6 mm above the surface, the array rising by 36 degrees; a wedge of
2330 m/s on a part of 3240 m/s (transverse; longitudinal 5920 m/s), 25 mm thick;
5 MHz; nothing lost at the contact face or by attenuation. Places are the middles
of side x side cells over x 0..50 mm, z 0..25 mm. Of each element to each place,
over one, two and three legs: travel time, and amplitude D R^n / S (directivity of
the element, reflection at the free walls, spreading). Of each place and image
path the product of the sums out and back.

Printed: the mean time in microseconds for each number of legs, the mean level in
dB for each image path, and the seconds that the computation took, on the clock
and of all processors together.
"""
import argparse
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np

WEDGE, TRANSVERSE, LONGITUDINAL = 2330.0, 3240.0, 5920.0
THICKNESS, TILT, WIDTH, PITCH, FREQUENCY = 25e-3, np.radians(36.0), 0.5e-3, 0.6e-3, 5e6
ELEMENTS, BLOCK, PATHS = 64, 16384, (("T-T", 1, 1), ("TT-T", 2, 1), ("TT-TT", 2, 2), ("TTT-T", 3, 1))


def refract(run, height, depth):
    """Tangent of the angle in the part of the ray over a horizontal run >= 0.

    The run height tan a + depth u, tan a = r u / sqrt(1 + (1 - r^2) u^2), grows
    and bends downwards with u. Newton's step from below the root stays below it,
    so that zero steps out of the bracket [bound, root] ever happen.
    """
    r = WEDGE / TRANSVERSE
    bend = 1 - r * r
    far = run - height * r / np.sqrt(bend)  # left if the wedge carries all it can
    u = np.maximum(run / (height * r + depth), far / depth)
    for _ in range(60):
        w = 1 / (1 + bend * u * u)
        s = height * r * np.sqrt(w)
        step = (run - (s + depth) * u) / (s * w + depth)
        u += step
        if not np.any(step > 1e-9 * u):
            break
    return u


def reflected(sine):
    """Amplitude of the transverse wave that a free face reflects."""
    k = LONGITUDINAL / TRANSVERSE
    sine_long = np.minimum(k * sine, 1.0)
    b = np.arcsin(sine)
    one = 2 * sine_long * np.sqrt(1 - sine_long**2) * np.sin(2 * b)
    two = k * k * np.cos(2 * b) ** 2
    return np.where(k * sine < 1, np.abs((one - two) / (one + two)), 1.0)


def arrive(element, x, depth, reflections):
    """Time and amplitude of one element's wave at all places."""
    x0 = -35e-3 + element * PITCH * np.cos(TILT)
    height = 6e-3 + element * PITCH * np.sin(TILT)
    run = x - x0
    u = refract(np.abs(run), height, depth)
    cos_part = 1 / np.sqrt(1 + u * u)
    sin_part = u * cos_part
    sin_wedge = sin_part * (WEDGE / TRANSVERSE)
    cos_wedge = np.sqrt(1 - sin_wedge * sin_wedge)
    way_wedge, way_part = height / cos_wedge, depth / cos_part
    seconds = way_wedge / WEDGE + way_part / TRANSVERSE
    # From the array's normal, which points forward by the tilt.
    forward = np.copysign(sin_wedge, run)
    sin_side = forward * np.cos(TILT) - cos_wedge * np.sin(TILT)
    cos_side = cos_wedge * np.cos(TILT) + forward * np.sin(TILT)
    directivity = np.abs(np.sinc(WIDTH * FREQUENCY / WEDGE * sin_side)) * np.maximum(cos_side, 0)
    squeeze, even = cos_part / cos_wedge, way_part * (TRANSVERSE / WEDGE)
    amplitude = directivity / np.sqrt((way_wedge * squeeze + even / squeeze) * (way_wedge + even))
    if reflections:
        amplitude *= reflected(sin_part) ** reflections
    return seconds, amplitude


def block(x, z):
    """Sums of all times, and of the amplitudes at each place, by number of legs."""
    times, sums = [], []
    for legs, depth in ((1, z), (2, 2 * THICKNESS - z), (3, 2 * THICKNESS + z)):
        arrivals = [arrive(i, x, depth, legs - 1) for i in range(ELEMENTS)]
        times.append(sum(seconds.sum() for seconds, _ in arrivals))
        sums.append(sum(amplitude for _, amplitude in arrivals))
    levels = [np.sum(20 * np.log10(sums[out - 1] * sums[back - 1])) for _, out, back in PATHS]
    return np.array(times), np.array(levels)


def compute(side, threads):
    x = (np.arange(side) + 0.5) * 50e-3 / side
    z = (np.arange(side) + 0.5) * THICKNESS / side
    x, z = (a.ravel() for a in np.meshgrid(x, z))
    # Blocks whose arrays stay in the cache: the whole at once is slower.
    cuts = range(BLOCK, len(x), BLOCK)
    with ThreadPoolExecutor(threads) as pool:
        parts = list(pool.map(block, np.split(x, cuts), np.split(z, cuts)))
    times, levels = (sum(part) / len(x) for part in zip(*parts))
    return times / ELEMENTS * 1e6, levels


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--side", type=int, default=316, help="places in a row, and rows")
    parser.add_argument("--threads", type=int, default=2)
    options = parser.parse_args()
    compute(8, options.threads)  # imports and first touches are not timed
    start, busy = time.perf_counter(), time.process_time()
    times, levels = compute(options.side, options.threads)
    seconds, busy = time.perf_counter() - start, time.process_time() - busy
    for legs, mean in enumerate(times, 1):
        print(f"us-{legs} {mean:.9f}")
    for (name, _, _), level in zip(PATHS, levels):
        print(f"dB-{name} {level:.9f}")
    print(f"seconds {seconds:.4f}")
    print(f"processor-seconds {busy:.4f}")


if __name__ == "__main__":
    main()
