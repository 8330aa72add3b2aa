"""The release gate: what a batch must show on paper before its jars may be sold.

A pure function over the batch's readings and limits. Every requirement yields
one finding; a batch is released only when each is met, or overridden in writing
by the owner where an override is allowed. A pH above the limit, a pH not
measured, and a seal check that leaves jars uncounted are never overridden.

The gate says "nothing missing"; it does not say that a food is safe.
"""

from collections.abc import Iterable
from datetime import timedelta

from inventory.words import say
from production.gate_terms import (
    COOLING_LEAST_H,
    COOLING_MOST_H,
    FINISH_ABOVE_C,
    FINISH_BELOW_C,
    HEADSPACE_TOLERANCE_MM,
    PH_METER_ABOVE,
    PH_WORKING,
    SOLIDS_ABOVE,
    SOLIDS_BELOW,
    STEAM_MOST_MIN,
    STERILE_BELOW_MIN,
    BatchReadings,
    Finding,
    GateError,
    GateLimits,
    GateResult,
    NotReleasableError,
    Override,
    OverrideRefusedError,
    PhReading,
    Requirement,
    Standing,
)
from production.instruments import CalibrationFinding, find_calibration
from production.readings import ReadingKind, reading_text
from production.wording import number_text, span_text

__all__ = [
    "BatchReadings",
    "Finding",
    "GateError",
    "GateLimits",
    "GateResult",
    "NotReleasableError",
    "Override",
    "OverrideRefusedError",
    "PhReading",
    "Requirement",
    "Standing",
    "judge",
    "require_releasable",
]


def judge(readings: BatchReadings, limits: GateLimits) -> GateResult:
    """Judge a batch: every requirement with how the batch stands.

    Args:
        readings: what was recorded.
        limits: what this batch must reach.

    Returns:
        One finding per requirement that applies to this batch.
    """
    findings = [
        _judge_finish(readings, limits),
        _judge_headspace(readings, limits),
        _judge_jars(readings, limits),
        _judge_processing(readings, limits),
        _judge_cooling(readings),
        _judge_seals(readings),
    ]
    if limits.asks_ph or readings.ph:
        findings.append(_judge_ph(readings, limits))
        findings.append(_judge_calibration(readings, limits))
    return GateResult(findings=tuple(findings))


def require_releasable(
    batch: str, result: GateResult, overrides: Iterable[Override], *, is_owner: bool
) -> GateResult:
    """Return the result with its overrides, or refuse the release.

    Args:
        batch: code of the batch, for the message.
        result: findings of `judge`.
        overrides: requirements to accept in writing.
        is_owner: whether the person releasing is the owner.

    Raises:
        OverrideRefusedError: an override that may not be given.
        NotReleasableError: something still stands against the release.
    """
    given = tuple(overrides)
    for override in given:
        _check_override(result, override, is_owner=is_owner)
    final = GateResult(findings=result.findings, overrides=given)
    if not final.may_release:
        raise NotReleasableError(batch, final)
    return final


def _check_override(result: GateResult, override: Override, *, is_owner: bool) -> None:
    if not is_owner:
        raise OverrideRefusedError(say("only the owner may override a limit"))
    what = override.requirement.label
    found = next(
        (e for e in result.findings if e.requirement is override.requirement), None
    )
    if found is None or not found.is_open:
        raise OverrideRefusedError(
            say("there is nothing to override for the {what}", what=what)
        )
    if not found.may_override:
        raise OverrideRefusedError(
            say("this cannot be overridden by anyone: {says}", says=found.says)
        )
    if len(override.reason.split()) < 2:
        raise OverrideRefusedError(
            say(
                "an override of the {what} needs a written reason of more than one "
                "word; it prints on the batch record",
                what=what,
            )
        )


def _judge_finish(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.FINISH
    tests = [
        _finish_temperature(readings, limits),
        _finish_solids(readings, limits),
        _finish_boil(readings, limits),
        _finish_set(readings),
    ]
    known = [each for each in tests if each is not None]
    failed = [says for is_good, says in known if not is_good]
    if failed:
        return _out(
            what,
            say(
                "{failed}: cook it again as a new batch, or reject it",
                failed="; ".join(failed),
            ),
        )
    if known:
        return _met(what, "; ".join(says for _, says in known))
    return _missing(what, say("record {limits}", limits=_finish_wanted(limits)))


def _finish_wanted(limits: GateLimits) -> str:
    wanted = []
    if limits.finish_c is not None:
        shown = reading_text(ReadingKind.FINISH_TEMPERATURE, limits.finish_c)
        wanted.append(
            say("the finishing temperature reached (expected {shown})", shown=shown)
        )
    if limits.solids_fraction is not None:
        shown = reading_text(ReadingKind.SOLIDS, limits.solids_fraction)
        wanted.append(say("the soluble solids (expected {shown})", shown=shown))
    if limits.rolling_boil_min is not None:
        shown = number_text(limits.rolling_boil_min)
        wanted.append(
            say("the minutes of full rolling boil (expected {shown})", shown=shown)
        )
    return " or ".join(wanted) or say("the result of the set test")


def _finish_temperature(
    readings: BatchReadings, limits: GateLimits
) -> tuple[bool, str] | None:
    if readings.finish_c is None or limits.finish_c is None:
        return None
    low = limits.finish_c - FINISH_BELOW_C.value
    high = limits.finish_c + FINISH_ABOVE_C.value
    reached = reading_text(ReadingKind.FINISH_TEMPERATURE, readings.finish_c)
    wanted = reading_text(ReadingKind.FINISH_TEMPERATURE, limits.finish_c)
    if readings.finish_c < low:
        return False, say(
            "{reached} is short of the finishing point, {wanted}",
            reached=reached,
            wanted=wanted,
        )
    if readings.finish_c > high:
        return False, say(
            "{reached} is past the finishing point, {wanted}",
            reached=reached,
            wanted=wanted,
        )
    return True, say(
        "reached {reached}, expected {wanted}", reached=reached, wanted=wanted
    )


def _finish_solids(
    readings: BatchReadings, limits: GateLimits
) -> tuple[bool, str] | None:
    if readings.solids_fraction is None or limits.solids_fraction is None:
        return None
    reached = reading_text(ReadingKind.SOLIDS, readings.solids_fraction)
    wanted = reading_text(ReadingKind.SOLIDS, limits.solids_fraction)
    if readings.solids_fraction < limits.solids_fraction - SOLIDS_BELOW.value:
        return False, say(
            "soluble solids of {reached} are short of {wanted}",
            reached=reached,
            wanted=wanted,
        )
    if readings.solids_fraction > limits.solids_fraction + SOLIDS_ABOVE.value:
        return False, say(
            "soluble solids of {reached} are far above {wanted}",
            reached=reached,
            wanted=wanted,
        )
    return True, say(
        "soluble solids {reached}, expected {wanted}", reached=reached, wanted=wanted
    )


def _finish_boil(
    readings: BatchReadings, limits: GateLimits
) -> tuple[bool, str] | None:
    if readings.rolling_boil_min is None or limits.rolling_boil_min is None:
        return None
    reached = number_text(readings.rolling_boil_min)
    wanted = number_text(limits.rolling_boil_min)
    if readings.rolling_boil_min < limits.rolling_boil_min:
        return False, say(
            "{reached} min of full rolling boil are fewer than {wanted}",
            reached=reached,
            wanted=wanted,
        )
    return True, say(
        "full rolling boil {reached} min, asked {wanted}",
        reached=reached,
        wanted=wanted,
    )


def _finish_set(readings: BatchReadings) -> tuple[bool, str] | None:
    if readings.set_test is None:
        return None
    return (
        readings.set_test,
        say("set test: it set")
        if readings.set_test
        else say("set test: it did not set"),
    )


def _judge_headspace(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.HEADSPACE
    wanted = reading_text(ReadingKind.HEADSPACE, limits.headspace_mm)
    if readings.headspace_mm is None:
        return _missing(
            what,
            say("record the headspace measured (expected {wanted})", wanted=wanted),
        )
    found = reading_text(ReadingKind.HEADSPACE, readings.headspace_mm)
    if abs(readings.headspace_mm - limits.headspace_mm) > HEADSPACE_TOLERANCE_MM.value:
        return _out(
            what,
            say(
                "headspace of {found} is more than an eighth of an inch away from "
                "{wanted}",
                found=found,
                wanted=wanted,
            ),
        )
    return _met(
        what, say("headspace {found}, expected {wanted}", found=found, wanted=wanted)
    )


def _judge_jars(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.STERILE_JARS
    minutes = readings.processing_min
    if minutes is None:
        minutes = limits.processing_min
    if minutes is not None and minutes >= STERILE_BELOW_MIN.value:
        return _met(what, say("clean, hot jars are enough at 10 minutes or more"))
    if readings.jars_sterile:
        return _met(what, say("jars were sterilised"))
    says = say("under 10 minutes of processing the jars must be sterilised first")
    if readings.jars_sterile is None:
        return _missing(what, say("{says}: record whether they were", says=says))
    return _out(what, say("{says}, and they were not", says=says))


def _judge_processing(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.PROCESSING
    done, asked = readings.processing_min, limits.processing_min
    if asked is None:
        return _missing(
            what,
            say(
                "no source gives processing minutes for this product: enter those "
                "of the tested recipe on the recipe, never guess them"
            ),
        )
    wanted = number_text(asked)
    if done is None:
        return _missing(
            what, say("record the minutes processed (expected {wanted})", wanted=wanted)
        )
    if limits.is_steam_canner and done > STEAM_MOST_MIN.value:
        return _out(
            what,
            say(
                "{done} min in steam are over the limit of {steam_most_min} min: "
                "the water may have boiled away",
                done=number_text(done),
                steam_most_min=STEAM_MOST_MIN.value,
            ),
        )
    if done < asked:
        return _out(
            what,
            say(
                "processed {done} min, {wanted} are needed here",
                done=number_text(done),
                wanted=wanted,
            ),
        )
    return _met(
        what,
        say(
            "processed {done} min, {wanted} needed",
            done=number_text(done),
            wanted=wanted,
        ),
    )


def _judge_cooling(readings: BatchReadings) -> Finding:
    what = Requirement.COOLING
    if readings.processed_at is None:
        return _missing(what, say("record when the jars came out of the canner"))
    if readings.seals_checked_at is None:
        return _missing(
            what, say("leave the jars 12 to 24 hours undisturbed, then check the seals")
        )
    cooled = readings.seals_checked_at - readings.processed_at
    if cooled < timedelta(0):
        return _out(
            what,
            say(
                "the seal check is recorded before the end of processing: put the "
                "times right"
            ),
            may_override=False,
        )
    shown = span_text(cooled)
    if cooled < timedelta(hours=int(COOLING_LEAST_H.value)):
        return _out(
            what, say("seals checked after {shown}, sooner than 12 hours", shown=shown)
        )
    if cooled > timedelta(hours=int(COOLING_MOST_H.value)):
        return _out(
            what,
            say(
                "seals checked after {shown}, later than 24 hours: an unsealed jar "
                "may have stood warm too long",
                shown=shown,
            ),
        )
    return _met(what, say("cooled {shown} before the seal check", shown=shown))


def _judge_seals(readings: BatchReadings) -> Finding:
    what = Requirement.SEALS
    filled, sealed, failed = (
        readings.jars_filled,
        readings.jars_sealed,
        readings.jars_failed,
    )
    if sealed is None:
        return _missing(
            what,
            say("check the seal of every jar ({filled} filled)", filled=filled),
            may_override=False,
        )
    if sealed + failed != filled:
        return _out(
            what,
            say(
                "{filled} filled is not {sealed} sealed and {failed} unsealed: "
                "count again, every jar must be checked",
                filled=filled,
                sealed=sealed,
                failed=failed,
            ),
            may_override=False,
        )
    if not sealed:
        return _out(what, say("no jar is sealed: reject the batch"), may_override=False)
    waiting = failed - readings.jars_failed_settled
    if waiting > 0:
        return _out(
            what,
            say(
                "{waiting} unsealed still counted as stock: say what became of each",
                waiting=waiting,
            ),
            may_override=False,
        )
    return _met(
        what,
        say(
            "{sealed} sealed, {failed} unsealed taken out", sealed=sealed, failed=failed
        ),
    )


def _judge_ph(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.PH
    highest = readings.highest_ph
    if highest is None:
        return _missing(
            what, say("measure the pH of the cooled product"), may_override=False
        )
    shown, most = number_text(highest.ph), number_text(limits.ph_limit)
    if highest.ph > limits.ph_limit:
        return _out(
            what,
            say(
                "pH {shown} is above the limit of {most}: these jars are never "
                "sold; reject the batch, or cook it again with acid as a new one",
                shown=shown,
                most=most,
            ),
            may_override=False,
        )
    if highest.ph > PH_WORKING.value:
        return Finding(
            requirement=what,
            standing=Standing.CAUTION,
            says=say(
                "pH {shown} is within {most} but above the working target of "
                "{ph_working}: more acid next time",
                shown=shown,
                most=most,
                ph_working=PH_WORKING.value,
            ),
        )
    return _met(what, say("pH {shown}, limit {most}", shown=shown, most=most))


def _judge_calibration(readings: BatchReadings, limits: GateLimits) -> Finding:
    what = Requirement.PH_CALIBRATION
    if not readings.ph:
        return _missing(
            what,
            say("calibrate the meter with buffers 4 and 7, then measure"),
            may_override=False,
        )
    newest_first = sorted(readings.ph, key=lambda e: e.measured_at, reverse=True)
    found = [_calibration_of(each, readings, limits) for each in newest_first]
    good = next((each for each in found if each.is_good), None)
    if good is not None:
        return _met(what, good.says)
    low_enough = max(each.ph for each in readings.ph) <= PH_METER_ABOVE.value
    return _missing(
        what,
        say(
            "{says}: calibrate with buffers 4 and 7 and measure again",
            says=found[0].says,
        ),
        may_override=low_enough,
    )


def _calibration_of(
    reading: PhReading, readings: BatchReadings, limits: GateLimits
) -> CalibrationFinding:
    return find_calibration(
        [c for c in readings.calibrations if reading.meter in {"", c.meter}],
        measured_at=reading.measured_at,
        valid_days=limits.calibration_days,
    )


def _met(requirement: Requirement, says: str) -> Finding:
    return Finding(requirement=requirement, standing=Standing.MET, says=says)


def _missing(
    requirement: Requirement, says: str, *, may_override: bool = True
) -> Finding:
    return Finding(
        requirement=requirement,
        standing=Standing.MISSING,
        says=says,
        may_override=may_override,
    )


def _out(requirement: Requirement, says: str, *, may_override: bool = True) -> Finding:
    return Finding(
        requirement=requirement,
        standing=Standing.OUT_OF_LIMITS,
        says=says,
        may_override=may_override,
    )
