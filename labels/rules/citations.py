"""Provisions of the rules that every place has in its own law."""

from inventory.words import say
from labels.statements.label_input import Jurisdiction

__all__ = ["cited"]

FIC = "Regulation (EU) No 1169/2011"


def cited(us: str, eu: str, ca: str, anz: str, codex: str) -> dict[Jurisdiction, str]:
    """Return the provision of each jurisdiction.

    Args:
        us: as cited.
        eu: article or annex of Regulation (EU) No 1169/2011.
        ca: section of the Food and Drug Regulations; "SFCR" before one of the
            Safe Food for Canadians Regulations.
        anz: standard of the Food Standards Code, from memory.
        codex: section of CXS 1-1985, from memory.
    """
    canada = (
        ca.replace("SFCR", "Safe Food for Canadians Regulations")
        if ca.startswith("SFCR")
        else say("Food and Drug Regulations {ca}", ca=ca)
    )
    return {
        Jurisdiction.US: us,
        Jurisdiction.EU: f"{FIC} {eu}",
        Jurisdiction.UK: f"{FIC} {eu}",
        Jurisdiction.CA: canada,
        Jurisdiction.AU: say("Food Standards Code {anz} (memory)", anz=anz),
        Jurisdiction.NZ: say("Food Standards Code {anz} (memory)", anz=anz),
        Jurisdiction.CODEX: say("CXS 1-1985 section {codex} (memory)", codex=codex),
    }
