"""What a printed torque reads as, or why it is refused."""

from app.core.problem import Problem
from app.core.torque.text import format_torque, parse_torque
from app.core.torque.values import TorqueSpec


def read(text: str) -> TorqueSpec:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec), spec
    return spec


def refused(text: str) -> Problem:
    problem = parse_torque(text)
    assert isinstance(problem, Problem), problem
    assert problem.where == "torque"
    return problem


def said(text: str) -> str:
    return format_torque(read(text))


def code(text: str) -> str:
    problem = refused(text)
    assert problem.message
    return problem.code
