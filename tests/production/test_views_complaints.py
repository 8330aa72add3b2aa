"""Pages of complaints, stop-sales, recalls and drills."""

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import Movement
from production.batch_codes import make_code
from production.models import Complaint, MockRecall, Recall, StopSale
from tests.factories import NOW, TODAY, make_business, make_lot, make_outlet
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db
CODE = make_code(TODAY, "K")
Reason = Movement.Reason


@pytest.fixture
def batch():
    fruit = make_lot(code="FRUIT-1")
    return make_traced_batch(code=CODE, inputs=[fruit])


@pytest.fixture
def in_shop(batch):
    shop = make_outlet(name="Corner Shop", kind="consignment")
    enter(jars_of(batch), -6, Reason.MOVED)
    enter(jars_of(batch), 6, Reason.MOVED, place=shop)
    return shop


def post(client, name, *args, **data):
    address = reverse(f"production:{name}", args=args)
    return client.post(address, data, follow=True)


def page(client, name, *args, **query):
    return client.get(reverse(f"production:{name}", args=args), query)


def write_down(client, **more):
    values = {"code_as_told": CODE, "symptom": "SPURT", "illness": "no"}
    return post(client, "complaint-create", **(values | more))


def wrong(code):
    """The code with its fourth character read as another."""
    return code[:3] + ("8" if code[3] != "8" else "7") + code[4:]


class TestComplaint:
    def test_the_list_says_what_to_do_when_empty(self, owner_client):
        assert (
            b"No complaint written down" in page(owner_client, "complaint-list").content
        )

    def test_a_grave_one_shows_stop_and_whom_to_ring(self, owner_client, batch):
        make_business(health_department_phone="555 0199")
        answer = write_down(owner_client)
        text = answer.content.decode()
        assert "Stop the sale now" in text
        assert "555 0199" in text
        assert "Nobody tastes it" in text
        assert Complaint.objects.get().batch == batch

    def test_a_quality_fault_does_not_alarm(self, owner_client, batch):
        text = write_down(owner_client, symptom="CRYST").content.decode()
        assert "Stop the sale now" not in text
        assert "treat it as glass" in text

    def test_a_wrong_code_offers_the_right_batch(self, owner_client, batch):
        text = write_down(owner_client, code_as_told=wrong(CODE)).content.decode()
        assert "that code has a typing mistake" in text.lower()
        assert "It is this one" in text
        complaint = Complaint.objects.get()
        assert complaint.batch is None
        post(owner_client, "complaint-point", complaint.pk, batch=batch.code)
        complaint.refresh_from_db()
        assert complaint.batch == batch

    def test_bad_input_keeps_what_was_typed(self, owner_client):
        answer = write_down(owner_client, symptom="", description="it spurted")
        assert answer.status_code == 200
        assert b"it spurted" in answer.content
        assert not Complaint.objects.exists()

    def test_a_photo_must_be_a_picture(self, owner_client):
        bad = SimpleUploadedFile("jar.jpg", b"no picture", "image/jpeg")
        answer = write_down(owner_client, photo=bad)
        assert b"no JPEG, PNG or WebP" in answer.content

    def test_a_photo_is_kept_and_shown(self, owner_client, settings, tmp_path):
        settings.MEDIA_ROOT = tmp_path
        good = SimpleUploadedFile("jar.png", b"\x89PNG\r\n\x1a\n...", "image/png")
        write_down(owner_client, photo=good)
        shown = page(owner_client, "complaint-photo", Complaint.objects.get().pk)
        assert b"".join(shown.streaming_content).startswith(b"\x89PNG")
        shown.close()

    def test_closing_needs_words(self, owner_client, batch):
        write_down(owner_client)
        pk = Complaint.objects.get().pk
        assert b"what was found" in post(owner_client, "complaint-close", pk).content
        post(owner_client, "complaint-close", pk, words="a bad lid; replaced")
        assert Complaint.objects.get().outcome == "a bad lid; replaced"

    def test_the_common_lot_is_shown(self, owner_client, batch):
        other = make_traced_batch(inputs=[batch.inputs.get().movement.lot])
        for each in (batch, other):
            Complaint.objects.create(
                received_at=NOW, symptom="MOLD", severity="look", batch=each
            )
        text = page(owner_client, "complaint-suspects").content.decode()
        assert "FRUIT-1" in text
        assert re.search(r"at least \d of \d complaints among \d of \d batches", text)

    def test_a_helper_writes_complaints_too(self, helper_client, batch):
        assert write_down(helper_client).status_code == 200
        assert Complaint.objects.count() == 1


class TestStopSale:
    def stop(self, client, **data):
        return post(client, "stopsale-create", **({"words": "mould"} | data))

    def test_one_touch_from_the_complaint(self, owner_client, batch, in_shop):
        write_down(owner_client)
        complaint = Complaint.objects.get()
        text = self.stop(owner_client, batch=CODE, complaint=complaint.pk)
        assert "Corner Shop" in text.content.decode()
        found = StopSale.objects.get()
        assert (found.complaint, found.lifted_at) == (complaint, None)
        assert b"The sale is stopped" in page(owner_client, "complaint-list").content

    def test_what_it_reaches_is_shown_first(self, owner_client, batch):
        text = page(owner_client, "stopsale-create", lot="FRUIT-1").content.decode()
        assert CODE in text

    def test_several_chosen_batches_stop_together(self, owner_client, batch):
        other = make_traced_batch()
        codes = [CODE, other.code]
        shown = page(owner_client, "stopsale-create", batch=codes).content.decode()
        assert all(code in shown for code in codes)
        self.stop(owner_client, batch=codes)
        stopped = StopSale.objects.get().lots.values_list("code", flat=True)
        assert set(stopped) == set(codes)

    def test_without_words_it_is_not_set(self, owner_client, batch):
        self.stop(owner_client, batch=CODE, words="")
        assert not StopSale.objects.exists()

    def test_without_a_batch_it_says_how(self, owner_client):
        text = page(owner_client, "stopsale-create").content.decode()
        assert "Find the batch or the lot first" in text

    def test_a_helper_stops_but_does_not_lift(self, helper_client, batch):
        self.stop(helper_client, batch=CODE)
        found = StopSale.objects.get()
        answer = post(helper_client, "stopsale-lift", found.pk, words="fine")
        assert b"only the owner may lift" in answer.content
        found.refresh_from_db()
        assert found.lifted_at is None

    def test_the_owner_lifts(self, owner_client, batch):
        self.stop(owner_client, lot="FRUIT-1")
        found = StopSale.objects.get()
        post(
            owner_client, "stopsale-lift", found.pk, words="a mistake", confirmed="yes"
        )
        found.refresh_from_db()
        assert found.lift_reason == "a mistake"
        assert page(owner_client, "stopsale-list").status_code == 200


class TestRecall:
    @pytest.fixture
    def recall(self, owner_client, batch, in_shop):
        post(owner_client, "stopsale-create", batch=CODE, words="mould")
        post(owner_client, "recall-create", StopSale.objects.get().pk, confirmed="yes")
        return Recall.objects.get()

    def test_the_page_lists_shops_and_what_is_missing(self, owner_client, recall):
        text = page(owner_client, "recall-detail", recall.pk).content.decode()
        assert re.search(r"level \w: .* of \d+ shops, rounded up = \d", text)
        assert "Corner Shop" in text
        assert "what harm it may do" in text

    def test_words_letter_and_papers(self, owner_client, recall, in_shop):
        words = {"why": "mould", "harm": "stomach", "what_to_do": "bring it back"}
        post(
            owner_client, "recall-notice", recall.pk, contact="555", level="A", **words
        )
        letter = page(owner_client, "recall-letter", recall.pk, in_shop.pk)
        assert letter.content.startswith(b"%PDF")
        for paper in ("sign", "post"):
            answer = page(owner_client, "recall-paper", recall.pk, paper)
            assert answer.content.startswith(b"%PDF")
        text = page(owner_client, "recall-paper", recall.pk, "text").content.decode()
        assert "URGENT: FOOD RECALL" in text
        assert page(owner_client, "recall-paper", recall.pk, "poem").status_code == 404

    def test_missing_words_are_asked_for(self, owner_client, recall):
        answer = post(owner_client, "recall-notice", recall.pk, why="mould", level="A")
        assert b"This field is required" in answer.content

    def test_a_shop_that_got_none_has_no_letter(self, owner_client, recall):
        other = make_outlet()
        answer = page(owner_client, "recall-letter", recall.pk, other.pk)
        assert answer.status_code == 404

    def test_from_telling_to_closing(self, owner_client, recall, in_shop):
        post(owner_client, "recall-check", recall.pk, in_shop.pk, how="telephone")
        early = post(
            owner_client, "recall-close", recall.pk, words="done", confirmed="yes"
        )
        assert b"asks for 1 answers" in early.content
        told = {"how": "telephone", "answered": "on"}
        post(owner_client, "recall-check", recall.pk, in_shop.pk, **told)
        lot = recall.stop_sale.lots.get()
        back = {"lot": lot.code, "jars": 6, "outlet": in_shop.pk}
        post(owner_client, "recall-take-in", recall.pk, **back)
        post(owner_client, "recall-authority", recall.pk)
        post(owner_client, "recall-authority", recall.pk, authority_class="II")
        post(owner_client, "recall-close", recall.pk, words="all back", confirmed="yes")
        recall.refresh_from_db()
        assert (recall.authority_class, recall.closing_note) == ("II", "all back")
        assert recall.checks.get().jars_destroyed == 6

    def test_more_jars_than_are_there_is_refused_in_words(
        self, owner_client, recall, in_shop
    ):
        lot = recall.stop_sale.lots.get()
        back = {"lot": lot.code, "jars": 60, "outlet": in_shop.pk}
        answer = post(owner_client, "recall-take-in", recall.pk, **back)
        assert b"take less, or count the lot" in answer.content

    def test_a_helper_may_not_open_one(self, helper_client, batch):
        post(helper_client, "stopsale-create", batch=CODE, words="mould")
        answer = post(helper_client, "recall-create", StopSale.objects.get().pk)
        assert answer.status_code == 403


class TestDrill:
    def test_from_drawing_to_the_record(self, owner_client, batch, in_shop):
        answer = post(owner_client, "drill-start")
        assert CODE.encode() in answer.content
        drill = MockRecall.objects.get()
        figures = {"on_shelf": 18, "at_outlets": 6, "sold": 0, "other": 0}
        figures |= {"lots_found": 1, "outlets_reached": 1}
        answer = post(owner_client, "drill-detail", drill.pk, **figures)
        assert b"100.00 %" in answer.content
        paper = page(owner_client, "drill-paper", drill.pk)
        assert paper.content.startswith(b"%PDF")
        assert b"100.00" in page(owner_client, "drill-list").content

    def test_without_a_batch_it_says_so(self, owner_client):
        assert b"no batch is released yet" in post(owner_client, "drill-start").content


@pytest.mark.parametrize(
    "name",
    ["complaint-list", "complaint-create", "trace", "stopsale-list", "drill-list"],
)
def test_signed_out_leads_to_the_door(client, name):
    assert page(client, name).url.startswith("/sign-in/")


@pytest.mark.parametrize(
    "name", ["complaint-detail", "stopsale-detail", "recall-detail"]
)
def test_what_is_not_there_is_404(owner_client, name):
    assert page(owner_client, name, 99).status_code == 404


@pytest.mark.parametrize("name", ["complaint-point", "complaint-close", "recall-close"])
def test_changes_want_a_post(owner_client, name):
    assert page(owner_client, name, 1).status_code == 405
