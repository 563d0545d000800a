"""Can this torque be right? What is usual for the bolt, how near proof it comes, which slip would explain it.

The maker's figure always wins: a caution is told and recorded with the figure, it changes nothing. Each
caution says what its rule rests on: a formula with its source, a standard, or common practice.
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from app.core.problem import Problem
from app.core.threads.preload import NUT_FACTORS, Friction
from app.core.threads.sizes import Thread
from app.core.threads.strength import FastenerKind
from app.core.torque.bolt import Bolt, Joint, Proof, proof_of
from app.core.torque.text import show_torque
from app.core.torque.units import (
    NEWTON_METRES,
    Quantity,
    TorqueUnit,
    torque_nm,
)
from app.core.torque.usual import USUAL_NUT_FACTOR
from app.core.torque.values import StageKind, Torque, TorqueSpec

SOFT_FROM = 1.5
"""Times the usual torque from which a caution is told, [-]. A rule of the product."""
NEAR_PROOF = 0.95
"""Share of proof, reached even with the stiffest friction, from which a torque is too high, [-]: ISO 898-1
and SAE J429 let a bolt bear its proof load and no more. The margin is a rule of the product."""
ABSURDLY_LOW = 0.1
"""Share of proof, not reached even with the most slippery friction, [-]. A rule of the product."""
SLIP_BELOW = 0.2
SLIP_ABOVE = 3.0
IN_REACH = (0.35, 1.8)
"""A slip is asked about where the value is beyond the first two times the usual one, and in reach of it when
its number is read in another unit, [-]. Slips of units are factors of 8.9 to 100. Rules of the product."""


_WEAKER = {
    Joint.PLASTIC: "the plastic gives way before the bolt",
    Joint.BANJO: "the bolt is hollow and its washers set the torque",
}
_N, _FT, _IN = TorqueUnit.NEWTON_METRE, TorqueUnit.POUND_FOOT, TorqueUnit.POUND_INCH
_KGM, _KGCM, _DAN = TorqueUnit.KILOGRAM_METRE, TorqueUnit.KILOGRAM_CENTIMETRE, TorqueUnit.DECANEWTON_METRE
_SLIPS: dict[TorqueUnit, tuple[TorqueUnit, ...]] = {
    _FT: (_IN, _KGM),
    _IN: (_FT, _N),
    _N: (_IN, _KGCM, _KGM, _DAN),
    _KGM: (_N, _KGCM, _FT),
    _KGCM: (_N, _KGM),
    _DAN: (_N, _FT),
    TorqueUnit.NEWTON_CENTIMETRE: (_N, _IN, _KGCM),
    TorqueUnit.CENTINEWTON_METRE: (_N, _IN, _KGCM),
    TorqueUnit.OUNCE_INCH: (_IN, _KGCM, _N),
}
"""Units that a unit is taken for, each at least seven times larger or smaller."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution to show beside the printed value.

    Args:
        code: A stable word: `far-above`, `above-usual`, `absurdly-low`, `unit-slip`, `does-not-apply`,
            `columns-disagree`.
        message: One or two sentences for the person.
        basis: What the rule rests on: formula, standard or common practice.
        is_hard: Whether something gives way if the figure is wrong.
    """

    code: str
    message: str
    basis: str = ""
    is_hard: bool = False


@dataclass(frozen=True, slots=True)
class Review:
    """What the final torque does to the bolt.

    Args:
        clamp_n: Clamp force with the stiffest and with the most slippery friction, [N].
        share: The same over the proof load, [-]; the first over the strongest class that can be meant, the
            second over the weakest.
        source: Where the friction band is from.
        cautions: What to tell; empty where nothing speaks against the figure.
        usual_nm: The usual torque of such a bolt, [N·m]; 0 where the bolt does not decide.
        taken: What was taken for granted, a sentence; empty where all is known.
    """

    clamp_n: tuple[float, float]
    share: tuple[float, float]
    source: str
    cautions: tuple[Caution, ...]
    usual_nm: float = 0.0
    taken: str = ""


def review_torque(
    spec: TorqueSpec,
    thread: Thread,
    class_text: str = "",
    friction: Friction = Friction.UNKNOWN,
    joint: Joint = Joint.STEEL,
    kind: FastenerKind = FastenerKind.BOLT,
) -> Review | Problem:
    """Compare the final torque with the strength of the bolt.

    Args:
        spec: The printed torque.
        thread: The thread; the coarse pitch stands in for a missing one.
        class_text: Class or grade; empty where it is not known: then 4.6 to 12.9 is taken.
        friction: The state of thread and head.
        joint: What the thread goes into.
        kind: What the class is marked on. A nut's says the strongest bolt that it is made for, not which bolt
            is in it.

    Returns:
        The review, or a `Problem` for `torque` (no tightening value), `thread` or `class`.

    Source: T = K·F·d with the band of `NUT_FACTORS`; proof loads of ISO 898-1 and SAE J429.
    """
    torque = spec.final.torque if spec.final else None
    if torque is None:
        return Problem("torque-without-value", "There is no torque to compare with the bolt.", "torque")
    proof = proof_of(class_text, thread, kind)
    if isinstance(proof, Problem):
        return proof
    bolt = Bolt(thread.diameter_mm, proof, friction, joint)
    taken = _taken(proof, friction)
    cautions = (*column_cautions(spec), *_verdict(spec, torque, bolt, taken))
    usual_nm = 0.0 if joint in _WEAKER else bolt.usual_nm
    return Review(
        bolt.clamp(torque), bolt.share(torque), NUT_FACTORS[friction].source, cautions, usual_nm, taken
    )


def _taken(proof: Proof, friction: Friction) -> str:
    said = []
    if friction is Friction.UNKNOWN:
        said.append(f"friction not known: the usual middle, K = {USUAL_NUT_FACTOR:.2f}")
    if proof.taken:
        said.append(proof.taken)
    return f"Taken: {'; '.join(said)}." if said else ""


def column_cautions(spec: TorqueSpec) -> tuple[Caution, ...]:
    """Return a caution for each two columns that disagree; no thread is needed for it."""
    return tuple(
        Caution(
            "columns-disagree",
            f"{show_torque(found.first)} and {show_torque(found.other)} differ by {found.percent:.1f} %"
            + (
                ", which rounding explains."
                if found.rounded
                else ": one of them is wrong. Look at the print again."
            ),
            "formula: exact conversion of the two units",
        )
        for found in spec.disagreements
    )


_PROOF_BASIS = (
    "standard: proof loads of ISO 898-1 and SAE J429; formula: T = K·F·d with the stiffest friction"
)
_USUAL_BASIS = "formula: T = K·0.75·proof·d; common practice: 1.5 times the usual value"
_ALUMINIUM_BASIS = "formula: shear of 1.5 diameters of aluminium thread at its yield; one measured value"
_SLIP_BASIS = "common practice: the number read in another unit is in reach of the usual torque"
_LOW_BASIS = "formula: T = K·F·d with the most slippery friction; common practice: a tenth of proof"


def _verdict(spec: TorqueSpec, torque: Torque, bolt: Bolt, taken: str) -> tuple[Caution, ...]:
    if bolt.joint in _WEAKER:
        told = f"The clamp band does not apply here: {_WEAKER[bolt.joint]}."
        return (Caution("does-not-apply", told, "common practice"),)
    caution = _too_high(torque, bolt) or (None if _turned_further(spec) else _too_low(torque, bolt))
    if caution is None:
        return ()
    tail = _slip(torque, bolt) + (f" {taken}" if taken else "") + _ADVICE
    return (replace(caution, message=caution.message + tail),)


def _too_high(torque: Torque, bolt: Bolt) -> Caution | None:
    said, low = show_torque(torque), bolt.share(torque)[0]
    if low >= NEAR_PROOF:
        told = f"{said} would load this bolt to {100 * low:.0f} % of its proof load or more."
        return Caution("far-above", told, _PROOF_BASIS, is_hard=True)
    if bolt.joint is Joint.ALUMINIUM and torque.target_nm > bolt.aluminium_most_nm:
        told = f"{said} is more than an aluminium thread bears that the bolt reaches into by 1.5 diameters."
        return Caution("far-above", told, _ALUMINIUM_BASIS, is_hard=True)
    times = bolt.times_usual(torque.target_nm)
    if times < SOFT_FROM:
        return None
    told = f"{said} is {times:.1f} times the usual torque of such a bolt, about {bolt.usual_nm:.2g} N·m."
    return Caution("above-usual", told, _USUAL_BASIS)


def _too_low(torque: Torque, bolt: Bolt) -> Caution | None:
    said, high = show_torque(torque), bolt.share(torque)[1]
    if high < ABSURDLY_LOW:
        told = f"{said} would load this bolt to {100 * high:.0f} % of its proof load at most."
        return Caution("absurdly-low", told, _LOW_BASIS)
    times = bolt.times_usual(torque.target_nm)
    if times < SLIP_BELOW and _slipped_units(torque, bolt):
        told = f"{said} is {times:.2f} of the usual torque of such a bolt; plugs and sensors have so little."
        return Caution("unit-slip", told, _SLIP_BASIS)
    return None


_ADVICE = " The maker's figure decides: compare it with the print."


def _turned_further(spec: TorqueSpec) -> bool:
    return any(stage.kind is StageKind.ANGLE for stage in spec.stages)


def _slipped_units(torque: Torque, bolt: Bolt) -> list[tuple[float, str]]:
    """Return the units in which the same number is in reach of the usual torque, the nearest first."""
    number = torque.target.value
    read = [
        (bolt.times_usual(torque_nm(Quantity(number, unit))), f"{number:f} {unit}")
        for unit in _SLIPS.get(torque.unit, ())
    ]
    return sorted((max(t, 1 / t), said) for t, said in read if IN_REACH[0] <= t <= IN_REACH[1])


def _slip(torque: Torque, bolt: Bolt) -> str:
    """Name the unit with which the same number would be usual; a slipped decimal point where none would."""
    if SLIP_BELOW <= bolt.times_usual(torque.target_nm) <= SLIP_ABOVE:
        return ""
    usual = _slipped_units(torque, bolt)
    if usual:
        named = " or ".join(said for _, said in usual)
        return f" {named} would be usual: was the unit {torque.unit} read wrongly?"
    number = torque.target.value
    for factor in (Decimal("0.1"), Decimal(10)):
        times = bolt.times_usual(float(number * factor * NEWTON_METRES[torque.unit]))
        if IN_REACH[0] <= times <= IN_REACH[1]:
            return f" {(number * factor).normalize():f} {torque.unit} is usual: did the decimal point slip?"
    return ""
