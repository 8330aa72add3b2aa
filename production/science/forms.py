"""What the cook did to a material before measuring it, read from her own words.

"3 cups peaches, peeled and finely chopped": the form is *fine*, and it was peeled.
The form decides the weight of a cup; the other words decide what was trimmed off.
"""

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Form", "Preparation", "read_preparation", "words"]


class Form(StrEnum):
    """How the material was measured."""

    WHOLE = "whole"
    HALVES = "halves"
    SLICED = "sliced"
    CHOPPED = "chopped"
    DICED = "diced"
    FINE = "fine"
    CRUSHED = "crushed"
    GRATED = "grated"
    PUREED = "pureed"
    PULP = "pulp"
    SECTIONS = "sections"
    JUICE = "juice"
    COOKED = "cooked"
    FROZEN = "frozen"
    PACKED = "packed"


READ_AS: tuple[tuple[str, Form], ...] = (
    (r"measured whole|before crushing|before chopping|whole, then", Form.WHOLE),
    (r"\bjuice\b", Form.JUICE),
    (r"puree|sieved|sauce\b|food mill|liquidi", Form.PUREED),
    (r"crushed|mashed|bruised", Form.CRUSHED),
    (r"\bground\b|fine(ly)?|minced|shaved", Form.FINE),
    (r"grated|shredded|zested", Form.GRATED),
    (r"\bpulp\b", Form.PULP),
    (r"section|segment", Form.SECTIONS),
    (r"prepared: .*simmer|\bcooked\b|stewed|after simmering", Form.COOKED),
    (r"slice|sliver|strips|shreds|julienne", Form.SLICED),
    (r"diced|cubed?\b|cubes", Form.DICED),
    (r"chop|cut up|cut in|pieces|chunk|coarse", Form.CHOPPED),
    (r"hal(f|ves|ved)|quarter", Form.HALVES),
    (r"frozen", Form.FROZEN),
    (r"\bpacked\b", Form.PACKED),
    (r"whole", Form.WHOLE),
)
"""Pattern, and the form it says; the first that fits counts."""

PEELED = re.compile(r"\bpeeled|\bpared|skinned|without (the )?(peel|skin)")
READY = re.compile(
    r"\bprepared\b|\btrimmed weight|edible|\bnet\b|after (hulling|pitting|trimming|peeling)"
    r"|canned|frozen|drained|thawed"
)
PRESSED = re.compile(r"press|for juice|juiced|jelly bag")
SIEVED = re.compile(r"sieve|food mill|strained|seedless|seeds removed")
LEFT_OUT = re.compile(
    r"taken out|removed before|drained off|for scalding|discard|lifted out|spice bag"
    r"|for blanching|for soaking, drained|not (used|in the pot)"
)


def words(text: str) -> str:
    """Lower-case text without accents, one space between words."""
    decomposed = unicodedata.normalize("NFKD", text)
    bare = "".join(sign for sign in decomposed if not unicodedata.combining(sign))
    return " ".join(bare.lower().replace("-", " ").split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """What was done to a material before it went into the pot.

    Attributes:
        form: how it was measured; None where the words do not say.
        peeled: skin or peel was taken off.
        ready: the amount is of what goes in, nothing more is trimmed off.
        pressed: only its juice goes in, though the fruit was measured.
        sieved: it was put through a sieve, where some of it stays.
        left_out: it does not stay in the pot.
    """

    form: Form | None = None
    peeled: bool = False
    ready: bool = False
    pressed: bool = False
    sieved: bool = False
    left_out: bool = False


def read_preparation(text: str) -> Preparation:
    """Read the words that follow a material's name.

    Args:
        text: "peeled, cored, finely chopped", "juice, strained", "" for nothing.

    Returns:
        What they say about the form and the trimming.
    """
    plain = words(text)
    form = next((form for pattern, form in READ_AS if re.search(pattern, plain)), None)
    pressed = form is Form.JUICE and bool(PRESSED.search(plain))
    return Preparation(
        form=None if pressed else form,
        peeled=bool(PEELED.search(plain)),
        ready=bool(READY.search(plain)),
        pressed=pressed,
        sieved=form is not Form.JUICE and bool(SIEVED.search(plain)),
        left_out=bool(LEFT_OUT.search(plain)),
    )
