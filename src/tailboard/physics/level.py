"""Audio levels: volts, dBu, dBV and dBFS, the sum of gains before a converter, and phantom power."""

import math

VOLT_OF_0_DBU = math.sqrt(0.6)  # 1 mW in 600 ohm: sqrt(0.001 W x 600 ohm) = 0.7746 V
CONSUMER_DBV = -10.0  # nominal level of consumer gear, common practice, no source
PROFESSIONAL_DBU = 4.0  # nominal level of professional gear: +4 dBu, 1.228 V ("Alignment level", second-hand)
PHANTOM_V = 48.0  # P48: 48 V +-4 V; IEC 61938:2018, second-hand
PHANTOM_LEG_OHM = 6800.0  # P48: one resistor a leg; IEC 61938:2018, second-hand


def dbu_from_v(voltage_v: float) -> float:
    """Return the level of an rms voltage. [dBu]

        L = 20 log10(V / sqrt(0.6 V^2))

    voltage_v  rms voltage, above zero. [V]

    Source: 0 dBu is the voltage of 1 mW in 600 ohm, IEC 60268 practice.
    Check (hand): 1 V -> +2.2185 dBu.
    >>> round(dbu_from_v(1.0), 4)
    2.2185
    """
    if voltage_v <= 0:
        raise ValueError(f"not above zero: {voltage_v} V")
    return 20.0 * math.log10(voltage_v / VOLT_OF_0_DBU)


def v_from_dbu(level_dbu: float) -> float:
    """Return the rms voltage of a level. [V]

        V = sqrt(0.6 V^2) x 10^(L / 20)

    Source: as `dbu_from_v`.
    Check (published, second-hand: an encyclopedia's "Alignment level"): +4 dBu is 1.228 V.
    >>> round(v_from_dbu(4.0), 3)
    1.228
    """
    return VOLT_OF_0_DBU * math.pow(10.0, level_dbu / 20.0)


def dbu_from_dbv(level_dbv: float) -> float:
    """Return a level given in dBV as dBu; 0 dBV is 1 V. [dBu]

        L(dBu) = L(dBV) + 20 log10(1 V / sqrt(0.6 V^2))

    Check (hand): -10 dBV -> -7.78 dBu.
    >>> round(dbu_from_dbv(-10.0), 2)
    -7.78
    """
    return level_dbv + dbu_from_v(1.0)


def full_scale_dbu(alignment_dbu: float, alignment_dbfs: float) -> float:
    """Return the analogue level of 0 dBFS from the analogue and the digital level of one alignment tone. [dBu]

    Source: EBU R 68 (-18 dBFS is 0 dBu) and SMPTE RP 155 (-20 dBFS is +4 dBu), both second-hand.
    >>> full_scale_dbu(0.0, -18.0), full_scale_dbu(4.0, -20.0)
    (18.0, 24.0)
    """
    return alignment_dbu - alignment_dbfs


def converter_dbfs(level_dbu: float, gain_db: float, full_scale_level_dbu: float) -> float:
    """Return what a converter reads of an analogue level. [dBFS]

        L(dBFS) = L(dBu) + gain - L(0 dBFS)

    level_dbu             level at the jack. [dBu]
    gain_db               gain and pad between jack and converter. [dB]
    full_scale_level_dbu  level at the converter that equals 0 dBFS. [dBu]

    Check (hand): +4 dBu, no gain, full scale +18 dBu -> -14 dBFS.
    >>> converter_dbfs(4.0, 0.0, 18.0)
    -14.0
    """
    return level_dbu + gain_db - full_scale_level_dbu


def phantom_short_current_a() -> float:
    """Return the greatest current of a P48 supply, both legs short-circuited to the screen. [A]

        I = 2 V / R

    Source: IEC 61938:2018, 48 V through 6.8 kohm a leg, second-hand.
    Check (hand): 2 x 48 V / 6800 ohm = 14.1 mA.
    >>> round(1e3 * phantom_short_current_a(), 1)
    14.1
    """
    return 2.0 * PHANTOM_V / PHANTOM_LEG_OHM


REFERENCE_DB_SPL = 94.0  # 1 Pa against 20 uPa is 93.98 dB; sensitivities are given at 94: common practice, no source
BOLTZMANN_J_PER_K = 1.380649e-23  # exact since 2019 (SI)
AUDIO_BAND_HZ = 20e3  # the band in which noise levels here are given: common practice, no source
ROOM_K = 293.15


def microphone_dbu(sensitivity_mv_per_pa: float, level_db_spl: float) -> float:
    """Return what a microphone gives for a sound. [dBu]

        L = 20 log10(S / 1000 / sqrt(0.6)) + (SPL - 94)

    sensitivity_mv_per_pa  at 94 dB SPL, above zero. [mV/Pa]

    Source: definition of sensitivity, IEC 60268-4 practice.
    Check (published arithmetic, AUD-11 and AUD-13): 20 mV/Pa is -31.761 dBu at 94 dB SPL, -21.76 dBu at 104.
    >>> round(microphone_dbu(20.0, 94.0), 3), round(microphone_dbu(20.0, 104.0), 2)
    (-31.761, -21.76)
    """
    return dbu_from_v(sensitivity_mv_per_pa / 1e3) + level_db_spl - REFERENCE_DB_SPL


def thermal_noise_dbu(resistance_ohm: float, band_hz: float = AUDIO_BAND_HZ, temperature_k: float = ROOM_K) -> float:
    """Return the noise of a resistance. [dBu]

        V = sqrt(4 k T R B)

    Source: Johnson and Nyquist. Check (published, AUD-14): 150 ohm, 20 kHz, 293.15 K -> -130.92 dBu.
    >>> round(thermal_noise_dbu(150.0), 2)
    -130.92
    """
    return dbu_from_v(math.sqrt(4.0 * BOLTZMANN_J_PER_K * temperature_k * resistance_ohm * band_hz))


def sum_db(*levels_db: float) -> float:
    """Return the level of uncorrelated signals together: their powers added. [as given]

    Check (published arithmetic, AUD-17): -109.76 and -128.0 dBu -> -109.695 dBu.
    >>> round(sum_db(-109.76, -128.0), 3)
    -109.695
    """
    highest_db = max(levels_db)
    return highest_db + 10.0 * math.log10(sum(math.pow(10.0, (level_db - highest_db) / 10.0) for level_db in levels_db))
