"""Symptoms: the table is whole, and grading follows it."""

import pytest

from production.symptoms import (
    Severity,
    UnknownSymptomError,
    all_symptoms,
    find_symptom,
    grade,
)


@pytest.mark.parametrize("symptom", all_symptoms(), ids=lambda symptom: symptom.code)
def test_every_symptom_says_why_what_and_where_from(symptom):
    assert symptom.name
    assert symptom.causes
    assert symptom.response
    assert symptom.source.citation
    assert symptom.caution or symptom.severity is Severity.QUALITY


def test_codes_are_unique_and_the_gravest_come_first():
    codes = [symptom.code for symptom in all_symptoms()]
    assert len(set(codes)) == len(codes)
    order = [Severity.STOP, Severity.LOOK, Severity.QUALITY, Severity.LOOK]
    ranks = [symptom.severity for symptom in all_symptoms()]
    runs = [rank for at, rank in enumerate(ranks) if at == 0 or ranks[at - 1] != rank]
    assert runs == order  # "something else" stands last


@pytest.mark.parametrize(
    "code", ["ILL", "SPURT", "BULGE", "ODOR", "FERM", "GLASS", "ALLERG", "PHHI"]
)
def test_what_can_hurt_stops_the_sale(code):
    assert grade(find_symptom(code), someone_is_ill=False) is Severity.STOP


@pytest.mark.parametrize("code", ["CRYST", "SOFT", "WEEP", "CARAM"])
def test_quality_faults_do_not(code):
    assert grade(find_symptom(code), someone_is_ill=False, jars=9) is Severity.QUALITY


def test_illness_stops_the_sale_whatever_was_seen():
    assert grade(find_symptom("SOFT"), someone_is_ill=True) is Severity.STOP


@pytest.mark.parametrize("code", ["MOLD", "LEAK"])
def test_a_second_jar_makes_it_a_stop(code):
    assert grade(find_symptom(code), someone_is_ill=False, jars=1) is Severity.LOOK
    assert grade(find_symptom(code), someone_is_ill=False, jars=2) is Severity.STOP


def test_nobody_is_told_to_taste():
    for symptom in all_symptoms():
        assert "taste it to" not in symptom.response.lower()
        if symptom.severity is Severity.STOP:
            assert "you may eat" not in symptom.caution.lower()


def test_an_unknown_code_says_so():
    with pytest.raises(UnknownSymptomError, match='no symptom "XX"'):
        find_symptom("XX")
