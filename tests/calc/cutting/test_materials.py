"""Material groups, names and hardness. Expected groups follow from the systems named."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.cutting.designations import PACKAGE, resolve
from threadwright_service.calc.cutting.materials import MaterialGroup, find_material, list_materials
from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    MissingInputError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.tables import document_of, load
from threadwright_service.calc.trail import Trail

# Chemical composition and heat treatment as the standards of the grades state them (memory of
# SAE J403/J404, EN 10088, EN 10025, EN 573, ASTM E527): which metal a designation is.
GRADES = [
    ("1018", "low-carbon-steel"),
    ("S235JR", "low-carbon-steel"),
    ("C45E", "medium-carbon-steel"),
    ("SAE 1060", "high-carbon-steel"),
    ("12L14", "free-machining-steel"),
    ("AISI 4140", "alloy-steel"),
    ("42CrMo4", "alloy-steel"),
    ("1.7225", "alloy-steel"),
    ("SCM440", "alloy-steel"),
    ("UNS G41400", "alloy-steel"),
    ("4150", "alloy-steel"),
    ("8630H", "alloy-steel"),
    ("UNS G10080", "low-carbon-steel"),
    ("1095", "high-carbon-steel"),
    ("SAE 1525", "low-carbon-steel"),
    ("UNS G86200", "alloy-steel"),
    ("EN AC-42100", "aluminium-cast"),
    ("52100", "alloy-steel"),
    ("D2", "tool-steel"),
    ("X153CrMoV12", "tool-steel"),
    ("1.2379", "tool-steel"),
    ("UNS T30402", "tool-steel"),
    ("17-4PH", "precipitation-hardening-stainless"),
    ("17-4 PH", "precipitation-hardening-stainless"),
    ("17-4 PH H1025", "precipitation-hardening-stainless"),
    ("UNS S17400", "precipitation-hardening-stainless"),
    ("EN 1.4542", "precipitation-hardening-stainless"),
    ("630", "precipitation-hardening-stainless"),
    ("316L", "austenitic-stainless"),
    ("1.4404", "austenitic-stainless"),
    ("SUS304", "austenitic-stainless"),
    ("410", "martensitic-stainless"),
    ("430", "ferritic-stainless"),
    ("2205", "duplex-stainless"),
    ("EN-GJL-250", "grey-iron"),
    ("EN-GJS-500-7", "nodular-iron"),
    ("6061-T6", "aluminium-wrought"),
    ("EN AW-7075", "aluminium-wrought"),
    ("UNS A96082", "aluminium-wrought"),
    ("AW-1050", "aluminium-wrought"),
    ("SAE 1050", "medium-carbon-steel"),
    ("A356", "aluminium-cast"),
    ("C36000", "brass"),
    ("CW614N", "brass"),
    ("C95400", "bronze"),
    ("Cu-ETP", "copper"),
    ("Ti-6Al-4V", "titanium-alloy"),
    ("Ti Grade 2", "titanium-unalloyed"),
    ("718", "nickel-alloy"),
    ("UNS N06625", "nickel-alloy"),
    ("2.4668", "nickel-alloy"),
    # Older national names side by side, from memory of the tables of equivalent grades.
    ("Ck45", "medium-carbon-steel"),
    ("XC48", "medium-carbon-steel"),
    ("080M40", "medium-carbon-steel"),
    ("EN 8", "medium-carbon-steel"),
    ("En19", "alloy-steel"),
    ("42CD4", "alloy-steel"),
    ("EN24", "alloy-steel"),
    ("35NCD6", "alloy-steel"),
    ("GCr15", "alloy-steel"),
    ("9SMnPb28", "free-machining-steel"),
    ("Z160CDV12", "tool-steel"),
    ("Z6CN18-09", "austenitic-stainless"),
    ("12Kh18N10T", "austenitic-stainless"),
    ("A4-80", "austenitic-stainless"),
    ("HT250", "grey-iron"),
    ("ASTM A48 class 30", "grey-iron"),
    ("gray cast iron", "grey-iron"),
    ("ductile iron", "nodular-iron"),
    ("QT500-7", "nodular-iron"),
    ("AlMg1SiCu", "aluminium-wrought"),
    ("AlZnMgCu1.5", "aluminium-wrought"),
    ("MS58", "brass"),
    ("TA6V", "titanium-alloy"),
    ("titanium grade 5", "titanium-alloy"),
    ("alloy 400", "nickel-alloy"),
    # Delivery conditions of EN 10027-1 and systems written without a blank.
    ("42CrMo4+QT", "alloy-steel"),
    ("11SMnPb30 +C", "free-machining-steel"),
    ("AISI4140", "alloy-steel"),
    ("UNSS17400", "precipitation-hardening-stainless"),
]


@pytest.mark.parametrize(("name", "family"), GRADES)
def test_designations(name: str, family: str) -> None:
    assert resolve(name).family == family


@pytest.mark.parametrize(
    ("name", "family"),
    [
        ("d2 tool steel", "tool-steel"),
        ("4140 steel", "alloy-steel"),
        ("316 stainless steel", "austenitic-stainless"),
        ("6061 aluminium", "aluminium-wrought"),
    ],
)
def test_words_beside_a_designation_add_nothing(name: str, family: str) -> None:
    assert resolve(name).family == family


@pytest.mark.parametrize(
    ("name", "hardness", "scale", "group", "iso_513"),
    [
        ("17-4PH", 42, "HRC", "precipitation-hardening-stainless", "P"),
        ("4140", 200, "HB", "alloy-steel-annealed", "P"),
        ("4140", 38, "HRC", "alloy-steel-quenched-and-tempered", "P"),
        ("4140", 45, "HRC", "hardened-steel-45-to-50", "H"),
        ("4140", 50, "HRC", "hardened-steel-50-to-55", "H"),
        ("4140", 57, "HRC", "hardened-steel-55-to-60", "H"),
        ("52100", 62, "HRC", "hardened-steel-above-60", "H"),
        ("D2", 220, "HB", "tool-steel-annealed", "P"),
        ("D2", 58, "HRC", "tool-steel-hardened", "H"),
        ("H", 58, "HRC", "hardened-steel-55-to-60", "H"),
        ("hardened-steel", 47, "HRC", "hardened-steel-45-to-50", "H"),
        ("718", 200, "HB", "nickel-alloy-annealed", "S"),
        ("718", 371, "HB", "nickel-alloy-aged", "S"),
    ],
)
def test_hardness_picks_the_group(
    name: str, hardness: float, scale: str, group: str, iso_513: str
) -> None:
    """Borders of the H groups are whole HRC, turned by ASTM E140 table 1."""
    found = find_material(name=name, hardness=hardness, hardness_scale=scale)
    assert (found.group, found.iso_513) == (group, iso_513)


def test_forty_two_rockwell_is_three_hundred_ninety_brinell() -> None:
    """ASTM E140 table 1, printed row."""
    assert find_material(name="17-4PH", hardness=42, hardness_scale="HRC").hardness_hb == 390


def test_tensile_strength_is_a_scale_too() -> None:
    """ISO 18265 table A.1: 1110 N/mm2 stands beside 328 to 333 HB."""
    found = find_material(name="42CrMo4", hardness=1110, hardness_scale="Rm")
    assert 320 < found.hardness_hb < 335


@pytest.mark.parametrize("name", ["17-4PH", "4140", "tool steel", "C45", "grey-iron", "718"])
def test_hardness_is_never_silent(name: str) -> None:
    with pytest.raises(MissingInputError) as refusal:
        find_material(name=name)
    assert refusal.value.parameter == "hardness"


def test_scale_is_never_silent() -> None:
    with pytest.raises(MissingInputError) as refusal:
        find_material(name="4140", hardness=42)
    assert refusal.value.parameter == "hardness_scale"


@pytest.mark.parametrize(
    ("name", "hardness_hb"), [("6061", 95), ("316L", 180), ("free-machining steel", 160)]
)
def test_narrow_groups_say_what_they_assume(name: str, hardness_hb: float) -> None:
    """Delivery hardness of these is common practice."""
    trail = Trail()
    assert find_material(name=name, trail=trail).hardness_hb == hardness_hb
    assert [(each.parameter, each.value) for each in trail.assumptions] == [
        ("hardness", hardness_hb)
    ]


@pytest.mark.parametrize("name", ["steel", "stainless", "P", "K", "N", "S", "M", "aluminium"])
def test_words_that_fit_several_groups_are_not_guessed(name: str) -> None:
    with pytest.raises(AmbiguousError) as refusal:
        find_material(name=name, hardness=200, hardness_scale="HB")
    assert "," in refusal.value.accepted


@pytest.mark.parametrize("name", ["1050", "4032", "4047", "Grade 5", "A4"])
def test_two_systems_use_the_same_number(name: str) -> None:
    with pytest.raises(AmbiguousError, match="in one system"):
        resolve(name)


def test_a_name_that_means_another_metal_elsewhere_says_which_it_is_taken_for() -> None:
    """A2 is a tool steel of AISI and, on screws, the austenitic steel of ISO 3506."""
    trail = Trail()
    assert find_material(name="A2", hardness=60, hardness_scale="HRC", trail=trail).iso_513 == "H"
    assert "two-meanings" in [caution.code for caution in trail.cautions]


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("magnesium", "aluminium-wrought"),
        ("AZ91 magnesium", "aluminium-wrought"),
        ("cobalt alloy", "nickel-alloy"),
        ("A286", "nickel-alloy"),
        ("POM", "aluminium-wrought"),
        ("malleable iron", "nodular-iron"),
        ("1.4999", "austenitic-stainless"),
        ("414O", "alloy-steel"),
        ("42CrMoo4", "alloy-steel"),
        ("polycarbonate", "aluminium-wrought"),
        ("PVC", "aluminium-wrought"),
        ("AZ91", "aluminium-wrought"),
        ("12.9", "alloy-steel-quenched-and-tempered"),
        ("somebody's 718", "nickel-alloy"),
    ],
)
def test_what_is_not_covered_names_the_nearest_group(name: str, nearest: str) -> None:
    with pytest.raises(UnknownDesignationError) as refusal:
        find_material(name=name, hardness=200, hardness_scale="HB")
    assert nearest in refusal.value.detail


@pytest.mark.parametrize(
    ("name", "hardness_hb", "nearest"),
    [
        ("4140", 100, "alloy-steel-annealed"),
        ("1018", 400, "low-carbon-steel"),
        ("hardened-steel-50-to-55", 600, "hardened-steel-50-to-55"),
        ("17-4PH", 600, "precipitation-hardening-stainless"),
    ],
)
def test_hardness_outside_the_data_names_the_nearest_group(
    name: str, hardness_hb: float, nearest: str
) -> None:
    with pytest.raises(OutOfRangeError, match=nearest) as refusal:
        find_material(name=name, hardness=hardness_hb, hardness_scale="HB")
    assert refusal.value.parameter == "hardness"


# What ASTM E140 has for these metals beside the table for steel (memory of its tables 3 and 4, of
# nickel alloys and of austenitic steel: 40 HRC 363 HB, 32 HRC 298 HB; 90 HRB 184 HB), and common
# practice for annealed Ti-6Al-4V, 36 HRC or 334 HB.
@pytest.mark.parametrize(
    ("name", "hardness", "scale", "near_hb"),
    [
        ("718", 40, "HRC", 363),
        ("718", 32, "HRC", 298),
        ("304", 90, "HRB", 184),
        ("Ti-6Al-4V", 36, "HRC", 334),
    ],
)
def test_a_hardness_without_a_table_for_the_metal_is_placed_and_said(
    name: str, hardness: float, scale: str, near_hb: float
) -> None:
    trail = Trail()
    found = find_material(name=name, hardness=hardness, hardness_scale=scale, trail=trail)
    assert found.hardness_hb == pytest.approx(near_hb, rel=0.03)
    assert "hardness-by-table-for-steel" in [caution.code for caution in trail.cautions]


@pytest.mark.parametrize("name", ["Ti-6Al-4V", "304", "6061", "GG25"])
def test_a_strength_without_a_table_for_the_metal_is_refused(name: str) -> None:
    """Strength over hardness differs from metal to metal by far more than hardness scales do."""
    with pytest.raises(NotTabulatedError, match="Brinell") as refusal:
        find_material(name=name, hardness=900, hardness_scale="Rm")
    assert refusal.value.parameter == "hardness_scale"
    assert refusal.value.accepted == "a hardness on the scale HB"


@pytest.mark.parametrize(("name", "scale"), [("GG25", "HRC"), ("Ti-6Al-4V", "HRB")])
def test_the_table_for_steel_refuses_in_the_callers_keys(name: str, scale: str) -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        find_material(name=name, hardness=5, hardness_scale=scale)
    assert refusal.value.parameter == "hardness"


@pytest.mark.parametrize(
    ("hardness", "scale", "parameter"),
    [(70, "HRC", "hardness"), (-5, "HB", "hardness"), (40, "shore", "hardness_scale")],
)
def test_refusals_of_the_conversion_blame_the_callers_keys(
    hardness: float, scale: str, parameter: str
) -> None:
    with pytest.raises(CalcError) as refusal:
        find_material(name="4140", hardness=hardness, hardness_scale=scale)
    assert refusal.value.parameter == parameter
    assert refusal.value.accepted


@given(st.text(max_size=30))
def test_any_text_is_found_or_refused(text: str) -> None:
    refused: CalcError | None = None
    groups: tuple[str, ...] = ()
    try:
        groups = resolve(text).groups
    except CalcError as refusal:
        refused = refusal
    assert groups or (refused is not None and refused.detail and refused.accepted)


@given(low=st.floats(130, 740), high=st.floats(130, 740))
def test_harder_alloy_steel_is_never_easier_to_cut(low: float, high: float) -> None:
    """Handbook power constants only rise with hardness (p. 1147); so must every border."""
    low, high = sorted((low, high))
    for name in ("alloy-steel", "tool-steel"):
        if low < 150 and name == "tool-steel":
            continue
        soft, hard = (
            find_material(name=name, hardness=each, hardness_scale="HB") for each in (low, high)
        )
        assert hard.specific_force_mpa >= soft.specific_force_mpa * (1 - 1e-12)
        assert hard.radial_to_tangential_ratio >= soft.radial_to_tangential_ratio
        assert hard.edge_force_n_per_mm >= soft.edge_force_n_per_mm


# Bands of kc1.1 that textbooks span for each class, from the softest to the hardest (memory).
BANDS = {
    "P": (1300, 3200),
    "H": (2700, 4400),
    "M": (1900, 2600),
    "K": (800, 2200),
    "N": (350, 1600),
    "S": (1000, 3300),
}


@pytest.mark.parametrize("group", list_materials(), ids=lambda group: group.key)
def test_each_group_is_whole(group: MaterialGroup) -> None:
    assert group.hardness_low_hb < group.hardness_high_hb
    assert group.basis
    assert group.force_basis
    assert group.hardness_required == (group.hardness_delivery_hb is None)
    # The upper end itself belongs to the next group of the family.
    for hardness_hb in (group.hardness_low_hb, group.hardness_high_hb - 0.01):
        found = find_material(name=group.key, hardness=hardness_hb, hardness_scale="HB")
        assert found.group == group.key
        low, high = BANDS[group.iso_513]
        assert low < found.specific_force_mpa < high
    if group.hardness_delivery_hb is not None:
        assert group.hardness_low_hb <= group.hardness_delivery_hb <= group.hardness_high_hb
    for starting in group.thread_milling:
        speed = starting.surface_speed
        assert 0 < speed.low_m_per_min < speed.aim_m_per_min < speed.high_m_per_min
        assert starting.feed_low_percent <= starting.feed_aim_percent <= starting.feed_high_percent


def test_every_table_speaks_of_every_group() -> None:
    keys = {group.key for group in list_materials()}
    assert {row["group"] for row in load(PACKAGE, "tables/forces")} == keys
    assert set(document_of(PACKAGE, "tables/speeds")["groups"]) == keys
    assert set(document_of(PACKAGE, "tables/cautions")["groups"]) == keys
    families = document_of(PACKAGE, "tables/families")["families"]
    assert {group for groups in families.values() for group in groups} == keys


def test_families_have_no_gap() -> None:
    """What is harder than one group must be the next one's, so that no hardness falls between."""
    by_key = {group.key: group for group in list_materials()}
    for name, keys in document_of(PACKAGE, "tables/families")["families"].items():
        for left, right in pairwise(keys):
            assert by_key[left].hardness_high_hb == by_key[right].hardness_low_hb, name


def test_every_designation_leads_to_its_own_row() -> None:
    for row in load(PACKAGE, "tables/aliases"):
        for designation in str(row["designations"]).split():
            assert resolve(designation).family == row["family"], designation


def test_coverage_of_the_six_classes() -> None:
    classes = Counter(group.iso_513 for group in list_materials())
    assert set(classes) == set("PMKNSH")
    assert sum(classes.values()) >= 25


def test_metals_with_known_dangers_warn() -> None:
    """Trade knowledge: titanium chips burn, austenitic steel work-hardens."""
    for name, code in (("Ti-6Al-4V", "ignition"), ("316L", "work-hardening")):
        trail = Trail()
        find_material(name=name, trail=trail)
        assert code in [caution.code for caution in trail.cautions]
