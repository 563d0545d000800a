"""What a bolt bears: the proof loads that can be meant, and what a torque makes of them."""

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from app.core.problem import Problem
from app.core.threads.preload import NUT_FACTORS, Friction, clamp_n, torque_for_clamp_nm
from app.core.threads.sizes import Thread
from app.core.threads.strength import FastenerKind, class_named, proof_load_n
from app.core.torque.usual import (
    ALUMINIUM_MOST_DIAMETERS,
    ALUMINIUM_USUAL_DIAMETERS,
    USUAL_CLASS,
    USUAL_SHARE,
    aluminium_clamp_n,
    middle_nut_factor,
)
from app.core.torque.values import Torque

_WEAKEST, _STRONGEST = "4.6", "12.9"
_BOLT_CLASS = re.compile(r"\d[.,]\d")
"""A class with a point stands on bolts only: with nuts it says which bolt is in them."""


class Joint(StrEnum):
    """What the thread goes into, or what the joint is."""

    STEEL = "steel or iron"
    ALUMINIUM = "aluminium or magnesium"
    PLASTIC = "plastic, or a plastic cap"
    BANJO = "banjo or hollow bolt"


@dataclass(frozen=True, slots=True)
class Proof:
    """Proof loads of the weakest, the usual and the strongest class that can be meant, [N].

    Args:
        least_n, usual_n, most_n: Alike where the class is known.
        taken: What was taken for granted; empty where all is known.
    """

    least_n: float
    usual_n: float
    most_n: float
    taken: str = ""


@dataclass(frozen=True)
class Bolt:
    """A bolt as a torque loads it.

    Args:
        diameter_mm: Nominal diameter, [mm].
        proof: What it bears.
        friction: The state of thread and head.
        joint: What the thread goes into.
    """

    diameter_mm: float
    proof: Proof
    friction: Friction
    joint: Joint

    def clamp(self, torque: Torque) -> tuple[float, float]:
        """Return the clamp force with the stiffest and with the most slippery friction, [N]."""
        factor, size = NUT_FACTORS[self.friction], self.diameter_mm
        return clamp_n(torque.low_nm, factor.high, size), clamp_n(torque.high_nm, factor.low, size)

    def share(self, torque: Torque) -> tuple[float, float]:
        """Return the same over the proof load of the strongest and of the weakest class, [-]."""
        low, high = self.clamp(torque)
        return low / self.proof.most_n, high / self.proof.least_n

    @cached_property
    def usual_nm(self) -> float:
        """The usual torque of such a bolt, [N·m]."""
        clamp = USUAL_SHARE * self.proof.usual_n
        if self.joint is Joint.ALUMINIUM:
            clamp = min(clamp, aluminium_clamp_n(self.diameter_mm, ALUMINIUM_USUAL_DIAMETERS))
        return self.middle_nm(clamp)

    @property
    def aluminium_most_nm(self) -> float:
        """The torque that an aluminium thread bears into which it reaches far enough, [N·m]."""
        return self.middle_nm(aluminium_clamp_n(self.diameter_mm, ALUMINIUM_MOST_DIAMETERS))

    def middle_nm(self, clamp: float) -> float:
        """Return the torque for a clamp force, [N], with the middle friction, [N·m]."""
        return torque_for_clamp_nm(clamp, middle_nut_factor(self.friction), self.diameter_mm)

    def times_usual(self, torque_newton_metres: float) -> float:
        """Return a torque, [N·m], over the usual one, [-]."""
        return torque_newton_metres / self.usual_nm


def proof_of(class_text: str, thread: Thread, kind: FastenerKind = FastenerKind.BOLT) -> Proof | Problem:
    """Return what a bolt bears that has a class, has none written, or carries a nut of a class.

    A nut holds every bolt up to that of its own class: a torque that would load even this one too far is
    too high for the joint. Which bolt is in it the nut does not say: the usual value is that of no stronger
    bolt than where nothing is known.

    Args:
        class_text: Class or grade; empty where it is not known: then 4.6 to 12.9 is taken.
        thread: The thread.
        kind: What the class is marked on.

    Source: ISO 898-2 and SAE J995, from memory: a nut goes with bolts up to the class of its number.
    """
    named = class_text.strip()
    if named and (kind is not FastenerKind.NUT or _BOLT_CLASS.search(named)):
        proof = proof_load_n(named, thread)
        return proof if isinstance(proof, Problem) else Proof(proof, proof, proof)
    usual_class = USUAL_CLASS.get(thread.system, "8.8")
    strongest = class_named(named, thread.system, kind) if named else _STRONGEST
    if isinstance(strongest, Problem):
        return strongest
    loads: list[float] = []
    for name in (_WEAKEST, usual_class, strongest):
        proof = proof_load_n(name, thread, named=False)
        if isinstance(proof, Problem):
            return proof
        loads.append(proof)
    least, usual, most = loads
    weaker = usual_class if usual <= most else strongest
    what = f"a nut {named} does not say which bolt is in it" if named else "class not known"
    taken = f"{what}: {weaker} for the usual value, {_WEAKEST} to {strongest} for the limits"
    return Proof(min(least, most), min(usual, most), most, taken)
