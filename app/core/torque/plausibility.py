"""Can this torque be right? The clamp band as a share of proof, and the unit slip that would explain it.

The maker's figure always wins: a caution is told and recorded with the figure, it changes nothing.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import sqrt

from app.core.problem import Problem
from app.core.threads.preload import NUT_FACTORS, Friction
from app.core.threads.sizes import Thread
from app.core.threads.strength import proof_load_n
from app.core.torque.text import show_torque
from app.core.torque.units import NEWTON_METRES, Quantity, TorqueUnit, torque_nm
from app.core.torque.values import StageKind, Torque, TorqueSpec

FAR_ABOVE = 1.2
"""Share of proof, reached even with the stiffest friction, from which a torque is far too high, [-].
Tightening to yield goes to about 1.1; a slip of lb·in to lb·ft gives 4 to 12. A rule of the product."""
ABSURDLY_LOW = 0.1
"""Share of proof, not reached even with the most slippery friction, [-]. A rule of the product."""
_USUAL = (0.3, 1.0)
_TYPICAL = 0.7


class Joint(StrEnum):
    """What the thread goes into, or what the joint is."""

    STEEL = "steel or iron"
    ALUMINIUM = "aluminium or magnesium"
    PLASTIC = "plastic, or a plastic cap"
    BANJO = "banjo or hollow bolt"


_WEAKER = {
    Joint.ALUMINIUM: "the aluminium thread gives way before the bolt",
    Joint.PLASTIC: "the plastic gives way before the bolt",
    Joint.BANJO: "the bolt is hollow and its washers set the torque",
}
_SLIPS: dict[TorqueUnit, tuple[TorqueUnit, ...]] = {
    TorqueUnit.POUND_FOOT: (TorqueUnit.POUND_INCH,),
    TorqueUnit.POUND_INCH: (TorqueUnit.POUND_FOOT, TorqueUnit.NEWTON_METRE),
    TorqueUnit.NEWTON_METRE: (
        TorqueUnit.POUND_INCH,
        TorqueUnit.KILOGRAM_CENTIMETRE,
        TorqueUnit.KILOGRAM_METRE,
    ),
    TorqueUnit.KILOGRAM_METRE: (TorqueUnit.NEWTON_METRE, TorqueUnit.KILOGRAM_CENTIMETRE),
    TorqueUnit.KILOGRAM_CENTIMETRE: (TorqueUnit.NEWTON_METRE, TorqueUnit.KILOGRAM_METRE),
}


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution to show beside the printed value.

    Args:
        code: A stable word: `far-above`, `absurdly-low`, `does-not-apply`, `columns-disagree`.
        message: One or two sentences for the person.
    """

    code: str
    message: str


@dataclass(frozen=True, slots=True)
class Review:
    """What the final torque does to the bolt.

    Args:
        clamp_n: Clamp force with the stiffest and with the most slippery friction, [N].
        share: The same over the proof load, [-]; the first over the strongest class that can be meant, the
            second over the weakest.
        source: Where the friction band is from.
        cautions: What to tell; empty where nothing speaks against the figure.
    """

    clamp_n: tuple[float, float]
    share: tuple[float, float]
    source: str
    cautions: tuple[Caution, ...]


def review_torque(
    spec: TorqueSpec,
    thread: Thread,
    class_text: str = "",
    friction: Friction = Friction.UNKNOWN,
    joint: Joint = Joint.STEEL,
) -> Review | Problem:
    """Compare the final torque with the strength of the bolt.

    Args:
        spec: The printed torque.
        thread: The thread; the coarse pitch stands in for a missing one.
        class_text: Class or grade; empty where it is not known: then 4.6 to 12.9 is taken.
        friction: The state of thread and head.
        joint: What the thread goes into.

    Returns:
        The review, or a `Problem` for `torque` (no tightening value), `thread` or `class`.

    Source: T = K·F·d with the band of `NUT_FACTORS`; proof loads of ISO 898-1 and SAE J429.
    """
    torque = spec.final.torque if spec.final else None
    if torque is None:
        return Problem("torque-without-value", "There is no torque to compare with the bolt.", "torque")
    proofs = _proof_loads(class_text, thread)
    if isinstance(proofs, Problem):
        return proofs
    bolt = _Bolt(thread.diameter_mm, proofs, friction)
    cautions = (*_disagreements(spec), *_verdict(spec, torque, bolt, joint))
    return Review(bolt.clamp(torque), bolt.share(torque), NUT_FACTORS[friction].source, cautions)


@dataclass(frozen=True, slots=True)
class _Bolt:
    diameter_mm: float
    proof_n: tuple[float, float]
    friction: Friction

    def clamp(self, torque: Torque) -> tuple[float, float]:
        factor, diameter_m = NUT_FACTORS[self.friction], self.diameter_mm / 1000
        return torque.low_nm / (factor.high * diameter_m), torque.high_nm / (factor.low * diameter_m)

    def share(self, torque: Torque) -> tuple[float, float]:
        low, high = self.clamp(torque)
        return low / self.proof_n[1], high / self.proof_n[0]

    def middle_share(self, torque_nm: float) -> float:
        factor = NUT_FACTORS[self.friction]
        clamp = torque_nm / (sqrt(factor.low * factor.high) * self.diameter_mm / 1000)
        return clamp / sqrt(self.proof_n[0] * self.proof_n[1])


def _proof_loads(class_text: str, thread: Thread) -> tuple[float, float] | Problem:
    """Return the proof loads of the weakest and the strongest class that can be meant, [N]."""
    loads: list[float] = []
    for name in (class_text,) if class_text.strip() else ("4.6", "12.9"):
        proof = proof_load_n(name, thread)
        if isinstance(proof, Problem):
            return proof
        loads.append(proof)
    return loads[0], loads[-1]


def _disagreements(spec: TorqueSpec) -> tuple[Caution, ...]:
    return tuple(
        Caution(
            "columns-disagree",
            f"{show_torque(found.first)} and {show_torque(found.other)} differ by {found.percent:.1f} %"
            + (
                ", which rounding explains."
                if found.rounded
                else ": one of them is wrong. Look at the print again."
            ),
        )
        for found in spec.disagreements
    )


def _verdict(spec: TorqueSpec, torque: Torque, bolt: _Bolt, joint: Joint) -> tuple[Caution, ...]:
    if joint in _WEAKER:
        return (Caution("does-not-apply", f"The clamp band does not apply here: {_WEAKER[joint]}."),)
    low, high = bolt.share(torque)
    if low > FAR_ABOVE:
        told = f"{show_torque(torque)} would load this bolt to {100 * low:.0f} % of its proof load or more."
        return (Caution("far-above", told + _slip(torque, bolt) + _ADVICE),)
    if high < ABSURDLY_LOW and not _turned_further(spec):
        told = f"{show_torque(torque)} would load this bolt to {100 * high:.0f} % of its proof load at most."
        return (Caution("absurdly-low", told + _slip(torque, bolt) + _ADVICE),)
    return ()


_ADVICE = " The maker's figure decides: compare it with the print."


def _turned_further(spec: TorqueSpec) -> bool:
    return any(stage.kind is StageKind.ANGLE for stage in spec.stages)


def _slip(torque: Torque, bolt: _Bolt) -> str:
    """Name the unit with which the same number would be usual; a slipped decimal point where none would."""
    number = torque.target.value
    usual = [
        (abs(share - _TYPICAL), f"{number:f} {unit}")
        for unit in _SLIPS.get(torque.unit, ())
        if _USUAL[0] <= (share := bolt.middle_share(torque_nm(Quantity(number, unit)))) <= _USUAL[1]
    ]
    if usual:
        return f" {min(usual)[1]} would be usual: was the unit {torque.unit} read wrongly?"
    for factor in (Decimal("0.1"), Decimal(10)):
        if _USUAL[0] <= bolt.middle_share(float(number * factor * NEWTON_METRES[torque.unit])) <= _USUAL[1]:
            return f" {(number * factor).normalize():f} {torque.unit} is usual: did the decimal point slip?"
    return ""
