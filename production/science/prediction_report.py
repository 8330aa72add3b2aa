"""A prediction as lines for the terminal and as data with stable keys."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from inventory.measures import format_temperature
from production.science.identity import NameAnswer
from production.science.prediction_terms import JarPrediction, Prediction
from production.science.processing import ProcessTime, jar_class
from production.science.span import Span
from production.science.temperature import fahrenheit
from production.science.working import Working, plain, rounded

__all__ = ["as_data", "as_lines", "may_be_called"]


def _number(value: Decimal, step: str = "0.1") -> float:
    return float(rounded(value, step))


def _span(span: Span, step: str = "0.1") -> dict[str, float]:
    return {
        "low": _number(span.low, step),
        "likely": _number(span.likely, step),
        "high": _number(span.high, step),
    }


def _degrees(temperature_c: Decimal) -> dict[str, float]:
    return {
        "c": _number(temperature_c, "0.01"),
        "f": _number(fahrenheit(temperature_c), "0.01"),
    }


def as_data(prediction: Prediction) -> dict[str, Any]:
    """The prediction as plain data for JSON.

    Masses in grams, temperatures on both scales, soluble solids in per cent, jars
    with low, likely and high. Keys are stable; new ones may be added.
    """
    batch, found = prediction.batch, prediction.balance
    called = may_be_called(prediction)
    return {
        "name": batch.name,
        "kind": batch.kind.value,
        "factor": float(batch.factor),
        "boiling_point": {
            **_degrees(prediction.water.true_c),
            "basis": prediction.water.basis.value,
            "shown_by_thermometer": _degrees(prediction.water.shown_c),
        },
        "finish": _finish(prediction),
        "pot_mass_g": _span(found.pot_g),
        "soluble_solids_g": _span(found.soluble_g),
        "mix_solids_percent": _number(found.mix_solids * 100),
        "water_boiled_off_g": _number(found.boiled_off_g),
        "lost_g": _number(found.lost_g),
        "finished_mass_g": _span(prediction.finished_g),
        "finished_solids_percent": _span(found.finished_solids.scaled(Decimal(100))),
        "fruit_g": _number(found.fruit_g),
        "sweetener_solids_g": _number(found.sweetener_solids_g),
        "learnt_correction": float(batch.correction),
        "headspace_mm": _number(batch.headspace, "0.01"),
        "canner": batch.process.canner.value,
        "jars": [_jar(jar) for jar in prediction.jars],
        "published_yield": _published(prediction),
        "may_be_called": called.name if called else "",
        "may_be_called_if": list(called.missing) if called else [],
        "names": [
            _name(name) for name in (*prediction.us_names, *prediction.abroad_names)
        ],
        "acid": {
            "demand": prediction.acid.demand.value,
            "low_acid": list(prediction.acid.low),
            "near_limit": list(prediction.acid.border),
            "may_be_acidified_food": prediction.acid.may_be_acidified,
        },
        "water_activity_estimate": _number(prediction.activity.likely, "0.001"),
        "ingredients": [
            {
                "name": line.name,
                "grams": _span(line.grams),
                "solids_percent": _span(line.solids.scaled(Decimal(100))),
                "role": line.role.value,
                "missing": list(line.missing),
            }
            for line in found.lines
        ],
        "missing": list(prediction.missing),
        "notes": list(prediction.notes),
        "cautions": list(prediction.cautions),
        "workings": [_working(working) for working in prediction.workings],
    }


def may_be_called(prediction: Prediction) -> NameAnswer | None:
    """The name the product may carry in the United States as it stands.

    The standardised name where the estimates reach it (a reading may still be asked
    for), else the free one; None where only the authority can tell.
    """
    return next((name for name in prediction.us_names if name.is_likely), None)


def _finish(prediction: Prediction) -> dict[str, Any]:
    point = prediction.finish
    kind = prediction.balance.finish.kind.value
    if point is None:
        return {"kind": kind, "c": None, "f": None, "how": prediction.finish_words}
    return {
        "kind": kind,
        **_degrees(point.true_c),
        "above_boiling": {
            "c": _number(point.above_c, "0.01"),
            "f": _number(point.above_c * Decimal("1.8"), "0.01"),
        },
        "shown_by_thermometer": _degrees(point.shown_c),
        "solids_percent": _span(
            Span(
                low=point.solids_low, likely=point.solids, high=point.solids_high
            ).scaled(Decimal(100))
        ),
        "how": prediction.finish_words,
    }


def _jar(jar: JarPrediction) -> dict[str, Any]:
    return {
        "jar": jar.jar.name,
        "size": jar_class(jar.jar.brim_ml),
        "brim_ml": _number(jar.jar.brim_ml),
        **_span(jar.count),
        "full": jar.full,
        "fill_mass_g": _number(jar.fill.fill_g),
        "declared_net_weight": {
            "oz": _number(jar.declared.ounces, "0.01"),
            "g": _number(jar.declared.grams),
            "text": jar.declared.text,
        },
        "process_min": jar.process.minutes if jar.process else None,
        "process_question": jar.process.question if jar.process else "",
        "sterile_jars_needed": bool(jar.process and jar.process.sterile_needed),
    }


def _published(prediction: Prediction) -> dict[str, Any] | None:
    comparison = prediction.comparison
    if comparison is None:
        return None
    implied = comparison.implied_solids
    return {
        "text": comparison.published.text,
        "predicted_cups": _span(comparison.cups),
        "verdict": comparison.verdict.value,
        "implied_solids_percent": None if implied is None else _number(implied * 100),
        "sentence": comparison.sentence,
    }


def _name(name: NameAnswer) -> dict[str, Any]:
    return {
        "place": name.place,
        "name": name.name,
        "verdict": name.verdict.value,
        "reasons": list(name.reasons),
        "missing": list(name.missing),
        "citation": name.citation,
    }


def _working(working: Working) -> dict[str, Any]:
    return {
        "figure": working.figure,
        "value": working.value,
        "formula": working.formula,
        "source": working.source,
        "estimate": working.estimate,
    }


def as_lines(prediction: Prediction) -> Iterator[str]:
    """The prediction as lines of text for a terminal."""
    batch, found = prediction.batch, prediction.balance
    yield f"{batch.name} ({batch.kind.words})"
    if batch.factor != 1:
        yield f"  {plain(batch.factor * 100)} % of the tested batch"
    yield ""
    yield f"  water boils here at     {format_temperature(prediction.water.true_c)}"
    if prediction.water.shown_c != prediction.water.true_c:
        yield f"  this thermometer shows  {format_temperature(prediction.water.shown_c)}"
    yield f"  done                    {_done(prediction)}"
    yield f"  in the pot              {found.pot_g.text('1')} g"
    yield f"  water off               {plain(found.boiled_off_g, '1')} g"
    yield f"  finished                {prediction.finished_g.text('1')} g (estimate)"
    yield f"  soluble solids          {found.finished_solids.scaled(Decimal(100)).text()} %"
    if batch.correction != 1:
        yield f"  corrected by            {plain(batch.correction, '0.001')} (this kitchen's own batches)"
    yield ""
    yield "  jar              jars low / likely / high   fill       net weight          process"
    for jar in prediction.jars:
        yield _jar_line(jar)
    yield from _process_lines(prediction)
    yield ""
    yield from _name_lines(prediction)
    yield from _listed("not known (the range is wider for it)", prediction.missing)
    yield from _listed("notes", prediction.notes)
    yield from _listed("take care", prediction.cautions)


def _done(prediction: Prediction) -> str:
    point = prediction.finish
    if point is None:
        return prediction.finish_words
    own = ""
    if point.shown_c != point.true_c:
        own = f"; on this thermometer {format_temperature(point.shown_c)}"
    return f"at {format_temperature(point.true_c)}{own}"


def _jar_line(jar: JarPrediction) -> str:
    count = jar.count
    counts = " / ".join(plain(each) for each in (count.low, count.likely, count.high))
    minutes = _minutes(jar.process)
    return (
        f"  {jar.jar.name:<16} {counts:<26} {plain(jar.fill.fill_g) + ' g':<10} "
        f"{jar.declared.text:<19} {minutes}"
    )


def _minutes(process: ProcessTime | None) -> str:
    if process is None:
        return "needs an altitude"
    if process.minutes is None:
        return "ask: see below"
    sterile = ", sterile jars" if process.sterile_needed else ""
    return f"{process.minutes} min{sterile}"


def _process_lines(prediction: Prediction) -> Iterator[str]:
    known = [jar.process for jar in prediction.jars if jar.process]
    if known:
        yield f"  {prediction.batch.process.canner.value} canner, {known[0].band}"
    yield from dict.fromkeys(f"  {each.question}" for each in known if each.question)


def _name_lines(prediction: Prediction) -> Iterator[str]:
    called = may_be_called(prediction)
    if called:
        provided = f", with {' and '.join(called.missing)}" if called.missing else ""
        yield f'  may be called "{called.name}"{provided}'
    for name in prediction.us_names:
        yield f'  "{name.name}" ({name.place}): {name.verdict.value}'
        yield from (f"    found: {reason}" for reason in name.reasons)
        yield from (f"    needs: {text}" for text in name.missing)
    others = [
        f"{name.place}: {name.name}, {name.verdict.value}"
        for name in prediction.abroad_names
    ]
    yield from _listed("abroad", tuple(others))


def _listed(title: str, items: tuple[str, ...]) -> Iterator[str]:
    if items:
        yield ""
        yield f"  {title}:"
        yield from (f"    - {item}" for item in items)
