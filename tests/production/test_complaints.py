"""Complaints: written down, graded, closed, and the person forgotten."""

from datetime import timedelta

import pytest

from production import complaints
from production.complaints import ComplaintError
from production.models import Complaint
from production.symptoms import UnknownSymptomError
from tests.factories import NOW, TODAY, make_lot
from tests.trace_factories import make_traced_batch

pytestmark = pytest.mark.django_db


def complain(symptom="MOLD", **more):
    values = {"received_at": NOW, "symptom": symptom}
    return complaints.record(complaint=Complaint(**(values | more)))


def test_severity_follows_the_symptom():
    assert complain("SPURT").severity == "stop"
    assert complain("MOLD").severity == "look"
    assert complain("CRYST").severity == "quality"


def test_illness_is_always_a_stop():
    assert complain("SOFT", illness="yes").severity == "stop"


def test_the_second_mouldy_jar_of_a_batch_is_a_stop():
    batch = make_traced_batch()
    assert complain(batch=batch).severity == "look"
    assert complain(batch=batch).severity == "stop"


def test_finding_the_batch_later_raises_the_grade():
    batch = make_traced_batch()
    complain(batch=batch)
    second = complain()
    assert second.severity == "look"
    assert complaints.point_at(complaint=second, batch=batch).severity == "stop"
    assert second.product == batch.product


def test_an_unknown_symptom_is_refused():
    with pytest.raises(UnknownSymptomError):
        complain("NOSUCH")
    assert not Complaint.objects.exists()


def test_the_person_is_forgotten_and_the_complaint_stays():
    told = complain(person_name="A. Buyer", person_contact="555 0100")
    due = told.erase_person_on
    assert due == TODAY + timedelta(days=180)
    assert complaints.erase_persons(on=due - timedelta(days=1)) == 0
    assert complaints.erase_persons(on=due) == 1
    told.refresh_from_db()
    assert (told.person_name, told.person_contact) == ("", "")
    assert complaints.erase_persons(on=due) == 0


def test_without_a_person_there_is_nothing_to_forget():
    assert complain().erase_person_on is None


def test_closing_needs_words_and_happens_once():
    told = complain()
    with pytest.raises(ComplaintError, match="what was found"):
        complaints.close(complaint=told, outcome=" ", at=NOW)
    complaints.close(complaint=told, outcome="replaced", at=NOW)
    with pytest.raises(ComplaintError, match="closed already"):
        complaints.close(complaint=told, outcome="again", at=NOW)


def test_the_lot_two_bad_batches_share_is_suspected_first():
    fruit, sugar = make_lot(code="FRUIT"), make_lot(code="SUGAR")
    bad = [make_traced_batch(inputs=[fruit, sugar]) for _ in range(2)]
    for _ in range(4):
        make_traced_batch(inputs=[sugar])
    told = [complain(batch=batch) for batch in bad]
    ranked = complaints.common_suspects(told)
    assert [suspect.lot for suspect in ranked] == [str(fruit.pk), str(sugar.pk)]
    assert (ranked[0].complained, ranked[0].descendants) == (2, 2)
    assert ranked[1].descendants == 6


def test_complaints_without_a_batch_suspect_nothing():
    assert complaints.common_suspects([complain()]) == []
