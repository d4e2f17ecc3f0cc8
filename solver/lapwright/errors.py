"""What can go wrong, as one tree; every fault of the input knows its place.

::

    LapwrightError                 everything raised on purpose
    ├─ InputError                  the crew's file is at fault; carries findings
    ├─ NoPlanError                 the input is fine, but no plan exists
    ├─ AuditError                  a plan does not stand up to the recount
    └─ SolverError                 a solver library failed; ours to mend

A finding says where (file, line, column, key), what was found and what was
wanted, so that a crew can mend its file in one go.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in an input file; lines and columns count from 1, 0 means unknown."""

    file: str = ""
    line: int = 0
    column: int = 0
    key: str = ""

    def __str__(self) -> str:
        """Write ``file:line:column: key`` with the parts that are known."""
        spot = self.file
        if self.line:
            spot += f":{self.line}"
            if self.column:
                spot += f":{self.column}"
        return ": ".join(part for part in (spot, self.key) if part)


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault of an input: where it is, what stands there, what was wanted."""

    place: Place
    found: str
    wanted: str

    def __str__(self) -> str:
        """Write one line: the place, then found and wanted."""
        where = f"{self.place}: " if str(self.place) else ""
        return f"{where}found {self.found}, wanted {self.wanted}"


class LapwrightError(Exception):
    """Everything that lapwright raises on purpose."""


class InputError(LapwrightError):
    """The input cannot be used; `findings` lists every fault at once."""

    def __init__(self, *findings: Finding) -> None:
        super().__init__("\n".join(str(finding) for finding in findings))
        self.findings = findings


class NoPlanError(LapwrightError):
    """The input is sound, yet no plan exists; `reasons` names what stands in the way."""

    said = "no plan exists"
    """What a reason follows."""

    def __init__(self, *reasons: str) -> None:
        super().__init__(f"{self.said}: " + "; ".join(reasons))
        self.reasons = reasons


class HardRuleError(NoPlanError):
    """No plan was found that breaks none of the rules that none may break."""

    said = "no plan was found that keeps the hard rules"


class AuditError(LapwrightError):
    """A plan does not agree with its job; `faults` lists what the recount found."""

    def __init__(self, *faults: str) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class SolverError(LapwrightError):
    """A solver library failed or answered nonsense; never the user's fault."""
