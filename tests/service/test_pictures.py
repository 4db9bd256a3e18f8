"""Pictures say the numbers of the JSON, fit their frame, and can be read by everybody."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from support.examples import EXAMPLES, query
from threadwright_service.api import BY_NAME
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app.flat import leaves
from threadwright_service.app.pictures import NAMES, PICTURES, Picture
from threadwright_service.app.pictures.drawing import SOFT, text_width

SVG = "{http://www.w3.org/2000/svg}"
NOTHING_TO_SHOW = {
    # An external thread has no hole.
    ("hole", "Levelling screws: nine of each hand"),
    ("hole", "Die-clamp studs in inches"),
}
EVERY: list[tuple[Operation, Example, Picture]] = [
    (operation, example, picture)
    for operation, example in EXAMPLES
    for picture in PICTURES[operation.name]
]
SHOWN = [each for each in EVERY if (each[2].name, each[1].title) not in NOTHING_TO_SHOW]
shown = pytest.mark.parametrize(
    ("operation", "example", "picture"),
    SHOWN,
    ids=[f"{picture.name} of {o.name}: {e.title}" for o, e, picture in SHOWN],
)
SMALLEST_LETTER = 12
"""On a phone 360 pixels wide a picture is six sevenths of its size: 10 pixels."""


def drawn(
    http: FlaskClient, operation: Operation, keys: Mapping[str, Any], picture: Picture
) -> tuple[ElementTree.Element, dict[str, Any]]:
    """A picture and the answer that it is of."""
    answer: Any = http.post(operation.path, json=dict(keys)).json
    got = http.get(f"{operation.path}.svg?{query(keys)}&picture={picture.name}")
    assert got.status_code == 200, got.text
    return ElementTree.fromstring(got.data), answer


@pytest.mark.parametrize(
    ("operation", "example", "picture"), [each for each in EVERY if each not in SHOWN]
)
def test_what_has_nothing_to_show_says_so(
    operation: Operation, example: Example, picture: Picture, http: FlaskClient
) -> None:
    got = http.get(f"{operation.path}.svg?{query(example.request)}&picture={picture.name}")
    assert got.status_code == 422
    assert got.json["errors"][0]["code"] == "nothing-to-draw"


def texts(picture: ElementTree.Element) -> Iterator[ElementTree.Element]:
    return picture.iter(f"{SVG}text")


@shown
def test_accessible_and_self_contained(
    operation: Operation, example: Example, picture: Picture, http: FlaskClient
) -> None:
    svg, _ = drawn(http, operation, example.request, picture)
    assert svg.get("role") == "img"
    title, description = svg.find(f"{SVG}title"), svg.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert title.text
    assert description.text
    assert len(description.text) > 20
    assert svg.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
    known = {each.get("id") for each in svg.iter() if each.get("id")}
    for each in svg.iter():
        assert each.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "defs", "pattern", "rect", "path", "circle", "text", "g"),
        }, "no script, style, picture or link"
        for name, value in each.attrib.items():
            assert name not in ("style", "class", "href"), name
            for target in re.findall(r"url\(#([^)]+)\)", value):
                assert target in known


@shown
def test_letters_are_large_enough_and_inside(
    operation: Operation, example: Example, picture: Picture, http: FlaskClient
) -> None:
    svg, _ = drawn(http, operation, example.request, picture)
    _, _, wide, high = (float(part) for part in svg.attrib["viewBox"].split())
    assert wide <= 420, "the letters would be too small on a phone"
    for box, words in boxes(svg):
        left, top, right, bottom = box
        assert left >= -2, words
        assert right <= wide + 4, f"{words!r} ends at {right:.0f}"
        assert top >= -2, words
        assert bottom <= high + 3, words
    for each in texts(svg):
        assert float(each.attrib["font-size"]) >= SMALLEST_LETTER


Box = tuple[float, float, float, float]


def boxes(svg: ElementTree.Element) -> list[tuple[Box, str]]:
    """About where each line of text stands."""
    found = []
    for group in svg.iter(f"{SVG}g"):
        shift = re.fullmatch(r"translate\((\S+) (\S+)\)", group.get("transform", ""))
        assert shift is not None
        for each in group.iter(f"{SVG}text"):
            each.set("x", str(float(each.attrib["x"]) + float(shift[1])))
            each.set("y", str(float(each.attrib["y"]) + float(shift[2])))
    for each in texts(svg):
        size = float(each.attrib["font-size"])
        words = each.text or ""
        wide = text_width(words, size) * (1.06 if each.get("font-weight") else 1.0)
        x, y = float(each.attrib["x"]), float(each.attrib["y"])
        left = {"middle": x - wide / 2, "end": x - wide}.get(each.get("text-anchor", ""), x)
        found.append(((left, y - 0.74 * size, left + wide, y + 0.2 * size), words))
    return found


@shown
def test_no_two_texts_overlap(
    operation: Operation, example: Example, picture: Picture, http: FlaskClient
) -> None:
    svg, _ = drawn(http, operation, example.request, picture)
    found = boxes(svg)
    for index, (one, words) in enumerate(found):
        for other, others in found[index + 1 :]:
            apart = (
                one[2] <= other[0] + 1
                or other[2] <= one[0] + 1
                or one[3] <= other[1] + 1
                or other[3] <= one[1] + 1
            )
            assert apart, f"{words!r} and {others!r}"


@shown
def test_numbers_are_those_of_the_answer(
    operation: Operation, example: Example, picture: Picture, http: FlaskClient
) -> None:
    svg, answer = drawn(http, operation, example.request, picture)
    numbers = [abs(value) for _, value in leaves(answer) if isinstance(value, (int, float))] + [
        0.0,
        1.0,
    ]
    words = sorted(
        {value for _, value in leaves(answer) if isinstance(value, str) and value},
        key=len,
        reverse=True,
    )
    for each in texts(svg):
        text = each.text or ""
        if (
            picture.name == "break-even"
            and float(each.attrib["x"]) < 60
            and each.get("text-anchor")
        ):
            continue  # the round numbers of the chart's scale
        if picture.name == "scales" and each.attrib["fill"] == SOFT:
            continue  # the ends of a ruler
        for known in words:
            text = text.replace(known, " ")
        for written in re.findall(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.]*[/\d])", text):
            places = len(written.partition(".")[2])
            wanted = abs(float(written))
            assert any(
                round(number, places) == wanted or abs(number - wanted) < 0.6 * 10**-places
                for number in numbers
            ), f"{written} in {each.text!r}"


def test_numbers_change_with_the_answer(http: FlaskClient) -> None:
    """A picture of another thread says other numbers, so nothing in it is fixed."""
    plan = BY_NAME["pass-plan"]
    seen = []
    for example in plan.examples:
        svg, _ = drawn(http, plan, example.request, PICTURES["pass-plan"][0])
        seen.append({each.text for each in texts(svg) if re.search(r"\d\.\d", each.text or "")})
    assert not seen[0] & seen[2]
    assert not seen[2] & seen[3]


def path_of(svg: ElementTree.Element, name: str) -> set[str]:
    return {each.text or "" for each in texts(svg) if name in (each.text or "")}


def test_both_hands_show_the_other_way_along_the_axis(http: FlaskClient) -> None:
    plan = BY_NAME["pass-plan"]
    path = next(picture for picture in PICTURES["pass-plan"] if picture.name == "path")
    right, _ = drawn(http, plan, plan.examples[0].request, path)
    left, _ = drawn(http, plan, plan.examples[1].request, path)
    assert path_of(right, "turns") != path_of(left, "turns")
    assert {text.rpartition(" ")[2] for text in path_of(right, "turns")} == {"down"}
    assert {text.rpartition(" ")[2] for text in path_of(left, "turns")} == {"up"}


@pytest.mark.parametrize("operation", BY_NAME.values(), ids=list(BY_NAME))
def test_pictures_of_other_operations_are_refused(operation: Operation, http: FlaskClient) -> None:
    own = {picture.name for picture in PICTURES[operation.name]}
    asked = query(operation.examples[0].request)
    for name in (*sorted(set(NAMES) - own), "no-such"):
        answer = http.get(f"{operation.path}.svg?{asked}&picture={name}")
        assert answer.status_code == 422
        assert answer.json["errors"][0]["parameter"] == "picture"
    plain = http.get(f"{operation.path}?{asked}&picture={min(own)}")
    assert plain.content_type.startswith("image/svg+xml"), "a picture needs no format"
    wrong = http.get(f"{operation.path}.csv?{asked}&picture={min(own)}")
    assert wrong.json["errors"][0]["code"] == "wrong-form"


ODD_THREADS = (
    "1/2-14 NPT",
    "Tr 40x14(P7)-7e",
    "1 1/2-4 ACME-2G",
    "G 1/2 A",
    "S 40x7",
    "M64x6-8g",
    "#0-80 UNF-3A",
    "M3-4h",
    "1/4-28 UNJF-3A",
)


@pytest.mark.parametrize("designation", ODD_THREADS)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_family_is_drawn(designation: str, unit: str, http: FlaskClient) -> None:
    limits = BY_NAME["thread-limits"]
    keys = {"designation": designation, "unit": unit}
    if http.post(limits.path, json=keys).status_code != 200:
        keys["side"] = "external"
    for picture in PICTURES["thread-limits"]:
        svg, _ = drawn(http, limits, keys, picture)
        for box, words in boxes(svg):
            assert box[2] <= 426, words


def test_where_a_speed_without_factors_comes_from(http: FlaskClient) -> None:
    # A job that gives no speed has the plan's: to call it given would be said of the caller.
    job = BY_NAME["job-sheet"].examples[0].request
    assert "surface_speed" not in job
    sheet = http.get(f"/v1/job-sheet.svg?{query(job)}&picture=factors").text
    assert "speed and feed of the plan: no factor was used" in sheet
    asked = "unit=mm&process=drilling&material=316L&cutter_diameter=12&cutter_teeth=2"
    cut = http.get(f"/v1/cutting-data.svg?{asked}&surface_speed=60&feed_per_tooth=0.05")
    assert "surface speed as given: no factor was used" in cut.text
