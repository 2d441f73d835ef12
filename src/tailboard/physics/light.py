"""Light on a strand: the least, the usual and the most that is lost, and the power that arrives."""

from __future__ import annotations

from dataclasses import dataclass

M_PER_KM = 1e3
LONG_WAVE_NM = 1500.0  # above it the fibre loses less: the 1550 nm window

ZERO_NM = 1310.0  # wavelength at which nothing smears
ZERO_SLOPE_PS = 0.092  # slope of the smear there, ps/(nm^2 km): ITU-T G.652, see `smear_s`

DRIFT_DB = 1.0  # between two readings of one strand: common practice, no source
RESERVE_DB = 3.0  # kept over the sensitivity: common practice, no source
LIGHT_M_PER_S = 299_792_458.0  # exact by definition: SI Brochure, 9th edition (2019)
GLASS_INDEX_RATIO = 1.468  # group index of standard fibre at 1310 to 1550 nm: between the 1.4677 and 1.4682 of OPT-17

OVERLOAD_NOTE_DB = 1.0  # a note within this of the overload: common practice, no source


@dataclass(frozen=True, slots=True)
class Losses:
    """What one kilometre, one mated pair and one splice lose, in decibels."""

    per_km_db: float
    pair_db: float
    splice_db: float

    def loss_db(self, length_m: float, pair_count: int, splice_count: int) -> float:
        """Return the loss of a strand. [dB]

            loss = a x km + c x pairs + s x splices

        Source: common practice; the worked budget of check_values row OPT-22 is 3 km at 0.40, four pairs at 0.75
        and two splices at 0.3: 4.80 dB.
        >>> round(Losses(0.40, 0.75, 0.3).loss_db(3000.0, 4, 2), 2)
        4.8
        """
        if min(length_m, pair_count, splice_count) < 0:
            raise ValueError(f"below zero: {length_m} m, {pair_count} pairs, {splice_count} splices")
        return self.per_km_db * length_m / M_PER_KM + self.pair_db * pair_count + self.splice_db * splice_count


def least(tx_nm: float, mode: str) -> Losses:
    """Return the least losses, for the proof that there is not too much light: the fibre alone.

    Single-mode: 0.35 dB/km at 1310 nm (planning value for G.652.D, second-hand), taken below 1500 nm; 0.20 dB/km at
    1550 nm (planning value of a fibre-optic trade association's calculator, second-hand).
    Multimode: no figure of the least is known here, so nothing is taken off.
    """
    if mode != "single-mode":
        return Losses(0.0, 0.0, 0.0)
    return Losses(0.35 if tx_nm < LONG_WAVE_NM else 0.20, 0.0, 0.0)


def most(tx_nm: float, mode: str) -> Losses:
    """Return the most that a sound strand loses, for the proof that there is enough light.

    Single-mode 0.5 dB/km: common practice, no source. Multimode 3.5 dB/km at 850 nm, 1.5 dB/km at 1300 nm:
    ANSI/TIA-568, from memory. Mated pair 0.75 dB: ANSI/TIA-568, second-hand. Splice 0.3 dB: ANSI/TIA-568, from memory.
    """
    if mode == "single-mode":
        return Losses(0.5, 0.75, 0.3)
    return Losses(3.5 if tx_nm < 1000.0 else 1.5, 0.75, 0.3)


def usual(tx_nm: float, mode: str) -> Losses:
    """Return the usual losses, for the reading to expect.

    Single-mode 0.35 dB/km at 1310 nm, 0.22 dB/km at 1550 nm: planning values for G.652.D, second-hand.
    Multimode as `most`. Mated pair 0.3 dB: common practice, no source.
    Splice 0.15 dB: a fibre-optic trade association's calculator, second-hand.
    """
    if mode == "single-mode":
        return Losses(0.35 if tx_nm < LONG_WAVE_NM else 0.22, 0.3, 0.15)
    return Losses(most(tx_nm, mode).per_km_db, 0.3, 0.15)


def smear_s(wave_nm: float, length_m: float, width_nm: float, zero_nm: float = ZERO_NM) -> float:
    """Return how far light smears over standard single-mode fibre; negative below the wavelength without it. [s]

        D = S0 / 4 x (L - L0^4 / L^3), smear = D x length x width

    width_nm  spectral width of the light; zero_nm  L0, for which the standard allows 1300..1324 nm. S0 = 0.092 ps/(nm^2 km).
    Source: ITU-T G.652; the formula from memory, its constants from a fibre's data (published values, OPT-15).
    >>> round(smear_s(1550.0, 1000.0, 1.0) * 1e12, 2)
    17.46
    """
    slope_ps = ZERO_SLOPE_PS / 4 * (wave_nm - zero_nm**4 / wave_nm**3)
    return slope_ps * 1e-12 * length_m / M_PER_KM * width_nm


def colour_delay_s(wave_nm: float, length_m: float, zero_nm: float = ZERO_NM) -> float:
    """Return by how much light comes later than light of the fastest wavelength, over standard single-mode fibre. [s]

        t = S0 / 8 x (L - L0^2 / L)^2 x length

    One strand that carries both directions at two wavelengths brings half of the difference into the clock.
    zero_nm  L0, for which the standard allows 1300..1324 nm. S0 = 0.092 ps/(nm^2 km).
    Source: ITU-T G.650.1; the formula from memory; it is the integral of the smear above (published values, OPT-16).
    >>> round((colour_delay_s(1490.0, 1000.0) - colour_delay_s(1310.0, 1000.0)) * 1e9, 3)
    1.316
    """
    delay_ps = ZERO_SLOPE_PS / 8 * (wave_nm - zero_nm**2 / wave_nm) ** 2
    return delay_ps * 1e-12 * length_m / M_PER_KM


def glass_delay_s(length_m: float, index_ratio: float = GLASS_INDEX_RATIO) -> float:
    """Return the time light takes through a fibre: length x group index / speed of light. [s]

    index_ratio  group index of the glass.
    Source: arithmetic. Check (published values, OPT-17): 1.4677 -> 4.8957 us/km.
    >>> round(glass_delay_s(1000.0, 1.4677) * 1e6, 4)
    4.8957
    """
    return length_m * index_ratio / LIGHT_M_PER_S


def received_dbm(sent_dbm: float, loss_db: float) -> float:
    """Return the power that arrives. [dBm]

        RX = TX - loss

    sent_dbm  average power launched; loss_db  loss of the strand, not below zero.
    Check (hand): a strand of 150 m, TX at most -6 dBm and 0.35 dB/km -> -6.0525 dBm.
    """
    if loss_db < 0:
        raise ValueError(f"a strand does not amplify: {loss_db} dB")
    return sent_dbm - loss_db
