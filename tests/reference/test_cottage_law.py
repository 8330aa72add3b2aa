"""Place profiles and their rules against worked cases of each place's law.

The law is the one each profile cites, as read on its day; the cases state what
follows from it. Words in quotation marks are the laws' own.
"""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from labels.rules.place_statement import same_words, statement_problem
from labels.statements.label_input import Outlets
from labels.statements.label_text import Panel, Role
from labels.statements.place_questions import questions
from labels.statements.places import Answer, Completeness, StatementBasis
from labels.statements.type_sizes import in_points
from tests.labels.label_values import (
    KITCHEN,
    built,
    outcome,
    place,
    places,
    recipe,
    report,
    state,
    use,
    with_element,
)

ALL = places()
READY = [code for code, p in ALL.items() if p.completeness is Completeness.READY]


def maker(**changes):
    return replace(KITCHEN, **changes)


def found(label, code, words):
    findings = outcome(label, code).findings
    return any(words in f.what for f in findings if not f.asks)


def test_there_are_fifty_places():
    assert len(ALL) == 50
    assert len(READY) == 24


@pytest.mark.parametrize("code", ALL)
def test_a_profile_is_whole(code):
    profile = ALL[code]
    assert profile.citation
    assert profile.authority
    assert profile.caution
    assert profile.sources
    assert profile.read_on == datetime.date(2026, 11, 25)


@pytest.mark.parametrize("code", READY)
def test_a_ready_profile_prints_its_own_words(code):
    profile = place(code)
    if profile.basis is StatementBasis.CONTENT:
        profile = place(code, own_statement="Made in a kitchen nobody inspects.")
    label = built(profile)
    assert label.text.draft_reasons == ()
    shown = label.text.first(Role.PLACE_STATEMENT)
    assert (shown.text if shown else "") == profile.words
    assert state(label, "PLACE-STATEMENT") == "passed"


@pytest.mark.parametrize("code", sorted(set(ALL) - set(READY)))
def test_an_unfinished_profile_only_drafts(code):
    label = built(place(code))
    assert label.text.draft_reasons
    assert questions(ALL[code])


@pytest.mark.parametrize("code", ["us-in", "us-md", "us-ms", "us-tn", "ca-ab"])
def test_wording_that_was_not_read_is_never_printed(code):
    label = built(place(code))
    assert label.text.first(Role.PLACE_STATEMENT) is None
    assert state(label, "PLACE-STATEMENT") == "ask"


# Florida
def test_a_curly_apostrophe_is_the_same_word():
    printed = ALL["us-fl"].statement.replace("'", "\u2019")
    assert statement_problem(ALL["us-fl"], printed) == ""


def test_ten_points_are_asked_for_and_less_fails():
    label = built(place("us-fl"))
    element = label.text.first(Role.PLACE_STATEMENT)
    assert element.size.at().minimum_mm == in_points(Decimal(10))
    assert in_points(Decimal("9.5")) < element.size.at().minimum_mm
    assert state(label, "PLACE-TYPE") == "passed"


def test_a_label_without_net_quantity_fails():
    label = with_element(built(place("us-fl")), Role.NET_QUANTITY)
    assert found(label, "PLACE-PARTICULARS", "net quantity")


@pytest.mark.parametrize("code", ["us-al", "us-ok"])
def test_ten_points_may_hold_for_the_whole_label(code):
    text = built(place(code)).text
    for role in (Role.INGREDIENTS, Role.PRODUCER, Role.IDENTITY):
        assert text.first(role).size.also.minimum_mm == in_points(Decimal(10))
    assert built(place("us-fl")).text.first(Role.INGREDIENTS).size.also is None


# California
def test_the_county_of_issue_is_missing():
    label = built(place("us-ca"), producer=maker(county_of_issue=""))
    assert found(label, "PLACE-PARTICULARS", "county")


def test_both_systems_of_units_are_wanted():
    label = with_element(built(place("us-ca")), Role.NET_QUANTITY, "227 g")
    assert state(label, "PLACE-UNITS") == "found"
    assert state(built(place("us-ca")), "PLACE-UNITS") == "passed"


# Washington
def test_the_permit_number_replaces_the_address():
    label = built(place("us-wa"), producer=maker(number_replaces_address=True))
    assert "1 Example Lane" not in label.text.text
    assert state(label, "PLACE-PARTICULARS") == "passed"
    assert state(label, "US-ADDRESS") == "passed"


def test_the_permit_number_is_missing():
    label = built(place("us-wa"), producer=maker(registration_number=""))
    assert found(label, "PLACE-PARTICULARS", "permit number")


# Utah: 12 point, bold, on the principal display panel
def test_the_side_panel_in_regular_weight_fails_twice():
    label = with_element(
        built(place("us-ut")),
        Role.PLACE_STATEMENT,
        panel=Panel.INFORMATION,
        placement=frozenset(),
    )
    assert len(outcome(label, "PLACE-TYPE").findings) == 2


# South Carolina: capitals are part of the rule
def test_capitals_may_be_part_of_the_rule():
    words = ALL["us-sc"].statement
    assert statement_problem(ALL["us-sc"], words.capitalize())
    assert not statement_problem(ALL["us-sc"], words)
    assert same_words("Home Produced", "HOME PRODUCED")


def test_new_mexico_wants_an_email_address():
    label = built(place("us-nm"), producer=maker(email=""))
    assert found(label, "PLACE-PARTICULARS", "e-mail")


def test_south_dakota_takes_one_address_for_both():
    assert state(built(place("us-sd")), "PLACE-PARTICULARS") == "passed"
    label = built(
        place("us-sd"), producer=maker(street="", city="", postal_code="", region="")
    )
    assert found(label, "PLACE-PARTICULARS", "mailing address")


def test_new_york_only_recommends_its_phrase():
    label = built(place("us-ny"))
    assert label.text.first(Role.PLACE_STATEMENT) is None
    assert state(label, "PLACE-STATEMENT") == "passed"


def test_the_advised_phrase_has_its_height():
    """1/16 inch or larger."""
    label = built(place("us-ny", own_statement="Made in a Home Kitchen"))
    element = label.text.first(Role.PLACE_STATEMENT)
    assert element.size.at().minimum_mm == Decimal("1.5875")
    assert not element.mandatory


def test_north_dakota_takes_a_sign_instead():
    label = with_element(built(place("us-nd")), Role.PLACE_STATEMENT)
    assert state(label, "PLACE-STATEMENT") == "passed"
    assert state(label, "PLACE-SIGN") == "ask"


def test_the_sign_of_wisconsin_has_words_of_its_own():
    profile = ALL["us-wi"]
    assert not same_words(profile.statement, profile.sign.text)
    assert profile.sign.text == (
        "These canned goods are homemade and not subject to state inspection."
    )


def test_minnesota_takes_number_or_address():
    bare = maker(street="", city="", postal_code="", region="")
    assert state(built(place("us-mn"), producer=bare), "PLACE-CONTACT") == "passed"
    label = built(
        place("us-mn"),
        producer=maker(
            street="", city="", postal_code="", region="", registration_number=""
        ),
    )
    assert state(label, "PLACE-CONTACT") == "found"


def test_missouri_takes_words_of_ones_own():
    words = (
        "Not inspected by the Department of Health and Senior Services or a local "
        "health department"
    )
    assert statement_problem(ALL["us-mo"], words) == ""
    assert statement_problem(ALL["us-mo"], "")
    assert built(place("us-mo")).text.draft_reasons


def test_the_old_sentence_of_texas_fails():
    old = (
        "This food is made in a home kitchen and is not inspected by the Department of "
        "State Health Services or a local health department."
    )
    assert statement_problem(ALL["us-tx"], old)


@pytest.mark.parametrize(("code", "role"), [("us-ky", Role.MADE_ON)])
def test_kentucky_wants_the_date_of_processing(code, role):
    assert built(place(code)).text.first(role)
    label = built(place(code), made_on=None)
    assert found(label, "PLACE-PARTICULARS", "date it was made")


def test_a_statement_in_another_language_is_another_statement():
    spanish = "Hecho en una cocina sin inspección del gobierno."
    assert statement_problem(ALL["us-ct"], spanish)


def test_virginia_wants_a_telephone_number():
    label = built(place("us-va"), producer=maker(phone=""))
    assert found(label, "PLACE-PARTICULARS", "telephone")


def test_a_dash_may_be_spaced_or_not():
    words = ALL["us-va"].statement
    assert statement_problem(ALL["us-va"], words.replace("\u2014", "-")) == ""
    assert statement_problem(ALL["us-va"], words.replace(" \u2014 ", "\u2013")) == ""


# Limits of sales
@pytest.mark.parametrize(
    ("code", "sales", "over"),
    [
        ("us-fl", "250000.00", False),
        ("us-fl", "250000.01", True),
        ("us-ia-establishment", "50000.00", True),
        ("us-ia-establishment", "49999.99", False),
        ("us-wi", "5000.00", True),
        ("us-wa", "36000", True),
        ("us-ct", "51200", True),
    ],
)
def test_a_limit_is_reached_as_its_words_say(code, sales, over):
    caps = [cap for cap in ALL[code].caps if cap.applies_to_jam]
    assert any(cap.is_exceeded_by(Decimal(sales)) for cap in caps) is over


@pytest.mark.parametrize(("net", "over"), [("9500", False), ("10200", True)])
def test_colorado_counts_each_product(net, over):
    assert ALL["us-co"].caps_kind == "per_product"
    assert ALL["us-co"].caps[0].is_exceeded_by(Decimal(net)) is over


def test_michigan_asks_between_the_old_and_the_new_limit():
    label = built(place("us-mi"))
    findings = outcome(label, "PLACE-CAP", sales_this_year=Decimal(27000)).findings
    assert [f"{cap.amount}" for cap in ALL["us-mi"].caps[:2]] == ["25000", "50000"]
    assert len(findings) == 1
    assert place("us-mi").may_be_printed_from is False


def test_an_indexed_limit_asks():
    label = built(place("us-ca"))
    assert state(label, "PLACE-CAP", sales_this_year=Decimal(80000)) == "ask"


def test_montanas_food_choice_reads_no_limit():
    label = built(place("us-mt-foodchoice"))
    assert state(label, "PLACE-CAP", sales_this_year=Decimal(999999)) == "passed"


# Ways of selling
@pytest.mark.parametrize(
    ("code", "way", "expected"),
    [
        ("us-nv", "online_order", "found"),
        ("us-oh", "stores_wholesale", "passed"),
        ("us-oh", "interstate", "found"),
        ("us-va", "stores_wholesale", "found"),
        ("us-va", "farmers_market", "passed"),
        ("us-fl", "roadside_stand", "ask"),
    ],
)
def test_ways_of_selling(code, way, expected):
    label = built(place(code), outlets=Outlets(ways=frozenset({way})))
    assert state(label, "PLACE-CHANNELS") == expected


# Exclusions that touch jam: hold and ask
@pytest.mark.parametrize("code", ["us-ri", "us-dc"])
def test_exclusions_of_jam_are_asked_about(code):
    assert ALL[code].jams_allowed is not Answer.YES
    assert state(built(place(code)), "PLACE-JAM") == "ask"


def test_england_wants_registration_and_no_sentence():
    """28 days before the first market; no statement on the label."""
    profile = ALL["gb-eng"]
    assert profile.registration_kind == "registration"
    assert profile.basis is StatementBasis.NONE
    first = datetime.date(2027, 3, 1) - datetime.timedelta(days=28)
    assert first == datetime.date(2027, 2, 1)
    assert "28 days" in profile.registration_detail


def test_wyoming_keeps_its_lower_case():
    words = built(place("us-wy")).text.first(Role.PLACE_STATEMENT).text
    assert words.startswith("this food was made in a home kitchen")


def test_an_old_reading_says_so():
    label = built(place("us-fl"))
    assert state(label, "PLACE-READ") == "passed"
    late = datetime.date(2027, 11, 26)
    assert state(label, "PLACE-READ", on=late) == "ask"


def test_no_report_ever_says_compliant():
    label = built(place("us-fl"), recipe=recipe(use("figs", 900), use("sugar", 700)))
    words = report(label).summary
    assert "nothing missing that the profile of Florida, USA asks for" in words
    assert "complian" not in words
