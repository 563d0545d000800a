"""What a bolt bears, where its own class is known, where that of its nut is, and where nothing is."""

import pytest

from app.core.problem import Problem
from app.core.threads.preload import Friction
from app.core.threads.sizes import Thread
from app.core.threads.strength import FastenerKind, proof_load_n
from app.core.threads.text import parse_thread
from app.core.torque.bolt import Bolt, Joint, Proof, proof_of
from app.core.torque.text import parse_torque
from app.core.torque.values import TorqueSpec


def size(text: str) -> Thread:
    thread = parse_thread(text)
    assert isinstance(thread, Thread), thread
    return thread


def borne(class_text: str, thread: str = "M8", kind: FastenerKind = FastenerKind.BOLT) -> Proof:
    proof = proof_of(class_text, size(thread), kind)
    assert isinstance(proof, Proof), proof
    return proof


def proof_n(class_text: str, thread: str = "M8") -> float:
    found = proof_load_n(class_text, size(thread))
    assert isinstance(found, float), found
    return found


def test_a_bolt_of_a_known_class_bears_its_proof_load_and_nothing_is_taken() -> None:
    load = proof_n("10.9")

    assert borne("10.9") == Proof(load, load, load)


def test_a_bolt_of_no_known_class_can_be_any_and_this_is_said() -> None:
    proof = borne("")

    assert (proof.least_n, proof.usual_n, proof.most_n) == (proof_n("4.6"), proof_n("8.8"), proof_n("12.9"))
    assert "8.8 for the usual value, 4.6 to 12.9 for the limits" in proof.taken


@pytest.mark.parametrize(
    ("nut", "most", "usual"),
    [("5", "5.8", "5.8"), ("8", "8.8", "8.8"), ("10", "10.9", "8.8"), ("12", "12.9", "8.8")],
)
def test_a_nut_bounds_the_bolt_that_can_be_in_it_and_does_not_say_which_it_is(
    nut: str, most: str, usual: str
) -> None:
    """ISO 898-2: a nut goes with bolts up to the class of its number; from memory."""
    proof = borne(nut, kind=FastenerKind.NUT)

    assert (proof.least_n, proof.usual_n, proof.most_n) == (proof_n("4.6"), proof_n(usual), proof_n(most))
    assert f"a nut {nut} does not say which bolt is in it: {usual}" in proof.taken


def test_an_inch_nuts_grade_bounds_the_bolt_as_well() -> None:
    """SAE J995: a nut of grade 5 goes with bolts up to grade 5; from memory."""
    proof = borne("5", "3/8-16", FastenerKind.NUT)

    assert proof.most_n == proof.usual_n == proof_n("SAE grade 5", "3/8-16")


def test_a_class_with_a_point_beside_nuts_is_that_of_their_bolts() -> None:
    assert borne("8.8", kind=FastenerKind.NUT) == borne("8.8")


@pytest.mark.parametrize("kind", [FastenerKind.BOLT, FastenerKind.NUT])
def test_a_class_that_is_none_is_refused(kind: FastenerKind) -> None:
    found = proof_of("from the blue tin", size("M8"), kind)

    assert isinstance(found, Problem)
    assert found.where == "class"


def test_a_bolt_is_loaded_least_by_the_stiffest_friction_and_most_by_the_most_slippery() -> None:
    spec = parse_torque("25 N·m")
    assert isinstance(spec, TorqueSpec)
    assert spec.final is not None
    assert spec.final.torque is not None
    bolt = Bolt(8.0, borne("8.8"), Friction.DRY, Joint.STEEL)

    low, high = bolt.clamp(spec.final.torque)

    assert (low, high) == pytest.approx((25 / (0.27 * 0.008), 25 / (0.18 * 0.008)))
    assert bolt.share(spec.final.torque) == pytest.approx((low / proof_n("8.8"), high / proof_n("8.8")))


def test_an_aluminium_thread_lowers_the_usual_torque_of_a_strong_bolt() -> None:
    steel, aluminium = (
        Bolt(8.0, borne("12.9"), Friction.DRY, joint) for joint in (Joint.STEEL, Joint.ALUMINIUM)
    )

    assert aluminium.usual_nm < steel.usual_nm
    assert aluminium.usual_nm < aluminium.aluminium_most_nm
