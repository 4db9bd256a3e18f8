"""An error as a page, for those who asked for one; the same facts as the problem details."""

from __future__ import annotations

from threadwright_service.api.problems import Problem, told_fault
from threadwright_service.app.pages.markup import HTML, page, plain_style, shown, text
from threadwright_service.app.reply import Reply


def problem_page_reply(problem: Problem, request_id: str, change: str | None = None) -> Reply:
    """The reply of an error as a page; never kept.

    ``change`` is the address of the form that is filled with what was asked for, if there is one.
    """
    rows = "".join(
        [
            f'<tr><td class="k">{text(told["parameter"])}</td><td>{text(told["detail"])}</td>'
            f"<td>{shown(told['value'])}</td><td>{text(told['accepted'])}</td></tr>"
            for told in map(told_fault, problem.faults)
        ]
    )
    table = (
        '<table id="errors"><thead><tr><th>Key</th><th>What is wrong</th><th>Given</th>'
        f"<th>Accepted</th></tr></thead><tbody>{rows}</tbody></table>"
        if rows
        else ""
    )
    back = (
        f'<p><a href="{text(change)}"><strong>Change this job</strong></a>: the form, filled in, '
        "with what is wrong marked.</p>"
        if change
        else ""
    )
    body = (
        f"<h1>{problem.status}: {text(problem.title)}</h1>"
        f'<p class="lead">{text(problem.detail)}</p>{back}{table}'
        f'<p>More on this: <a href="/problems/{problem.slug}">{problem.slug}</a>. '
        f'<span class="soft">Request {text(request_id)}.</span></p>'
    )
    look = plain_style()
    return Reply(
        status=problem.status,
        body=page(problem.title, body, look),
        content_type=HTML,
        headers={"Cache-Control": "no-store", **look.headers, **problem.headers},
    )
