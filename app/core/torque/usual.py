"""What is usual for a bolt: share of proof, nut factor, class, and what an aluminium thread bears."""

from math import pi, sqrt

from app.core.threads.preload import NUT_FACTORS, Friction
from app.core.threads.sizes import ThreadSystem

USUAL_SHARE = 0.75
"""Share of proof to which a joint that comes apart again is usually tightened, [-]. Source: Shigley, as
quoted at https://mechconcepts.tech/bolt-torque-calculation/."""
USUAL_NUT_FACTOR = 0.20
"""K where the friction is not known, [-]: plain steel as it comes. Source:
https://engitoolbox.org/calculators/bolt-torque, https://aionlinecalculator.com/bolt-torque-calculator.html."""
USUAL_CLASS = {ThreadSystem.METRIC: "8.8", ThreadSystem.UNIFIED: "SAE grade 5"}
"""What is taken for the middle where no class is known. Common practice on engines."""

ALUMINIUM_YIELD_MPA = 140.0
"""0.2 % proof stress of a cast aluminium housing, [MPa], and a stripping torque measured on it (M7x1, 9.3 mm
in: 17 to 18 N·m): https://www.eng-tips.com/viewthread.cfm?qid=509910."""
_SHEAR = 1 / sqrt(3)
_THREAD_SHARE = 0.875
"""Share of the cylinder d that the threads of the hole shear through, [-]: 1/2 + 0.577·0.6495, from the basic
profile (FED-STD-H28/2B, from memory)."""
ALUMINIUM_USUAL_DIAMETERS = 1.0
ALUMINIUM_MOST_DIAMETERS = 1.5
"""How far a bolt reaches into aluminium, least and usual, in diameters, [-]. Common practice: 1.5 to 2."""


def middle_nut_factor(friction: Friction) -> float:
    """Return the middle of the band of K, [-]; for a friction that is not known the usual 0.20."""
    factor = NUT_FACTORS[friction]
    return USUAL_NUT_FACTOR if friction is Friction.UNKNOWN else sqrt(factor.low * factor.high)


def aluminium_clamp_n(diameter_mm: float, diameters_in: float) -> float:
    """Return the clamp force at which an aluminium thread begins to yield, [N].

    Args:
        diameter_mm: Nominal diameter, [mm].
        diameters_in: How far the bolt reaches in, in diameters, [-].

    Source: shear area 0.875·π·d·L of the basic profile times 0.577·140 MPa; a measured stripping torque lies
    15 % below it, see `ALUMINIUM_YIELD_MPA`.
    """
    area = _THREAD_SHARE * pi * diameter_mm**2 * diameters_in
    return area * _SHEAR * ALUMINIUM_YIELD_MPA
