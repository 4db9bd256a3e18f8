"""The page of the form: every key of ``job-sheet`` as a field, in sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from threadwright_service.api.operation import Operation
from threadwright_service.app.pages.job_form.address import FORM, form_address, form_pairs
from threadwright_service.app.pages.job_form.fields import (
    Filled,
    field_markup,
    label_of,
    told_of,
    unit_markup,
)
from threadwright_service.app.pages.job_form.sections import FIRST, Section, further
from threadwright_service.app.pages.markup import Style, page, style, text
from threadwright_service.calc.cutting.materials import list_materials
from threadwright_service.schemas.faults import Fault
from threadwright_service.schemas.wire_field import WireField

TITLE: Final = "New job sheet"
_CHANGED: Final = "Change this job"


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the form is opened with: texts by key, and what is wrong with them."""

    texts: Mapping[str, str] = field(default_factory=dict)
    faults: Sequence[Fault] = ()

    def of(self, key: str) -> tuple[Fault, ...]:
        """What is wrong with one key, at any place inside its value."""
        return tuple(each for each in self.faults if _key_of(each) == key)


def form_style() -> Style:
    """The style and the script of the form."""
    return style(
        "threadwright.css", "job_form/job_form.css", script="job_form/job_form.js", form=True
    )


def form_page(operation: Operation, job: Job, *, asks_key: bool = False) -> bytes:
    """The page.

    Parameters
    ----------
    operation : Operation
        What the form is sent to.
    job : Job
        What stands in it.
    asks_key : bool
        Whether the service takes its key in the address, and so from this form.
    """
    title = _CHANGED if job.texts else TITLE
    sections = "".join([_section(operation, each, job) for each in FIRST])
    body = (
        f'<h1>{title}</h1><p class="lead">Fill in what you know of the job; what is sent is '
        "answered with the job sheet to print. A field that is left empty is not sent: what is "
        "assumed in its place stands on the sheet.</p>"
        f"{_starts(operation)}{_summary(operation, job)}"
        f'<form id="job-form" method="post" action="{FORM}" data-answer="{operation.path}">'
        '<input type="hidden" name="format" value="html">'
        f"{_key() if asks_key else ''}{sections}{_further(operation, job)}"
        '<p><button class="send">Make the job sheet</button></p></form>'
        f"{_known_materials()}"
    )
    return page(title, body, form_style())


def _starts(operation: Operation) -> str:
    """Ways to fill the form without typing."""
    links = ", ".join(
        [
            f'<a href="{text(form_address(form_pairs(each.request)))}">{text(each.title)}</a>'
            for each in operation.examples
        ]
    )
    return (
        f'<p class="starts">Start from an example: {links}; or from an '
        f'<a href="{FORM}">empty form</a>. The address of a filled form is a link to keep. '
        'Known: <a href="/docs/threads">threads</a>, <a href="/docs/materials">materials</a>.</p>'
    )


def _summary(operation: Operation, job: Job) -> str:
    """What is wrong, with a way to each field; keys that the form does not have are dropped."""
    if not job.faults:
        return ""
    items = [_told(operation.request.wire_fields(), each) for each in job.faults]
    count = len(items)
    told = "One value is" if count == 1 else f"{count} values are"
    return (
        f'<section class="care" id="wrong"><h2>{told} wrong</h2><ul>{"".join(items)}</ul></section>'
    )


def _told(known: Mapping[str, WireField], fault: Fault) -> str:
    key = _key_of(fault)
    if key in known:
        name = text(label_of(key, known[key]))
        return f'<li><a href="#{key}">{name}</a>: {text(told_of(fault))}</li>'
    gone = " (left out of the form)" if key else ""
    return f"<li>{text(fault.detail)}{gone}</li>"


def _key_of(fault: Fault) -> str:
    return fault.parameter.split(".")[0]


def _section(operation: Operation, section: Section, job: Job) -> str:
    known = operation.request.wire_fields()
    fields = "".join(
        [
            (unit_markup if key == "unit" else field_markup)(
                Filled(key=key, field=known[key], value=job.texts.get(key, ""), faults=job.of(key))
            )
            for key in section.keys
        ]
    )
    return (
        f'<fieldset><legend>{text(section.title)}</legend><div class="fields">{fields}</div>'
        "</fieldset>"
    )


def _further(operation: Operation, job: Job) -> str:
    """Everything else, closed unless something in it is wrong."""
    sections = further(operation.request)
    keys = [key for section in sections for key in section.keys]
    filled = sum(key in job.texts for key in keys)
    opened = " open" if any(job.of(key) for key in keys) else ""
    told = f"More: {len(keys)} further keys" + (f", {filled} of them filled in" if filled else "")
    inside = "".join([_section(operation, each, job) for each in sections])
    return f'<details id="more"{opened}><summary>{told}</summary>{inside}</details>'


def _key() -> str:
    """The field for the service's key, where it is taken in the address."""
    return (
        '<fieldset><legend>Access</legend><div class="fields"><div class="field">'
        '<label for="key">Key of the service</label><span class="entry">'
        '<input type="password" id="key" name="key" autocomplete="current-password"></span>'
        '<p class="hint" id="key-hint">As the operator gave it out; it stands in the address of '
        "the sheet.</p></div></div></fieldset>"
    )


def _known_materials() -> str:
    """The groups of materials, offered at their field."""
    options = "".join([f'<option value="{text(each.key)}">' for each in list_materials()])
    return f'<datalist id="material-known">{options}</datalist>'
