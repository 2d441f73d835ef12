"""Sound in air: how fast it travels at a temperature, and how long it takes over a distance."""

import math

SPEED_AT_20_C = 343.2  # speed of sound at 293.15 K: ISO 9613-1:1993, read in an open implementation of it [m/s]
KELVIN_AT_0_C = 273.15  # exact by definition: SI Brochure, 9th edition (2019)
KELVIN_AT_20_C = KELVIN_AT_0_C + 20.0

# Between these the air of a show is taken to be where nobody writes its temperature: common practice, no source.
COLD_C = 0
WARM_C = 30


def air_speed_ratio(temperature_k: float) -> float:
    """Return the speed of sound in dry air over that at 20 degrees Celsius. [1]

        c / c20 = sqrt(T / 293.15 K)

    temperature_k  absolute temperature, above zero. [K]

    Valid for air near the ground; humidity adds at most about 0.4 % at 30 degrees (from memory) and is left out.
    Source: ISO 9613-1:1993 (343.2 m/s at 293.15 K), read in an open implementation.
    Check (published, ISO 9613-1 by the same implementation): 331.29 m/s at 0, 349.00 m/s at 30 degrees Celsius.
    >>> [round(SPEED_AT_20_C * air_speed_ratio(KELVIN_AT_0_C + t), 2) for t in (0.0, 20.0, 30.0)]
    [331.29, 343.2, 349.0]
    """
    if temperature_k <= 0:
        raise ValueError(f"not above absolute zero: {temperature_k} K")
    return math.sqrt(temperature_k / KELVIN_AT_20_C)


def air_delay_s(distance_m: float, temperature_k: float = KELVIN_AT_20_C) -> float:
    """Return how long sound takes over a distance. [s]

        t = d / c

    distance_m  not below zero. [m]

    Source: as `air_speed_ratio`.
    Check (hand): 1 m, 3.43 m and 34.32 m at 343.2 m/s -> 2.914 ms, 9.994 ms, 100.0 ms.
    >>> [round(1e3 * air_delay_s(d), 3) for d in (1.0, 3.43, 34.32)]
    [2.914, 9.994, 100.0]
    """
    if distance_m < 0:
        raise ValueError(f"below zero: {distance_m} m")
    return distance_m / (SPEED_AT_20_C * air_speed_ratio(temperature_k))
