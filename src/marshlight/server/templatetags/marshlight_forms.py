"""Template tags of forms: the error beside its field, and a limit drawn as a bar."""

import uuid

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from marshlight.answers.mix_lines import LimitLine
from marshlight.answers.reader import in_reader_units
from marshlight.errors import InputError
from marshlight.server.drawing.limit import draw_limit
from marshlight.server.templatetags.marshlight_words import system_in

register = template.Library()


@register.simple_tag(takes_context=True)
def slip(context: template.Context, *name: str) -> SafeString:
    """Write what is wrong with a field (``slips`` of the page), or an empty place for it."""
    field = "-".join(name)
    problem = context.get("slips", {}).get(field)
    # Swapped in by itself while one types; the field keeps the keyboard.
    swap = mark_safe(' hx-swap-oob="true"') if context.get("swapping") else ""
    words = "" if problem is None else in_reader_units(_problem_words(problem), system_in(context))
    return format_html('<span class="wrong" id="slip-{}"{}>{}</span>', field, swap, words)


def _problem_words(problem: InputError) -> str:
    # A refusal is an answer in itself: "No. Gas is never let out in a room ...".
    refused = problem.allowed.startswith(("No. ", "Not "))
    return f"{'' if refused else 'Allowed: '}{problem.allowed}. {problem.remedy}."


@register.simple_tag(takes_context=True)
def slipped(context: template.Context, *name: str) -> SafeString:
    """Tie a field to the place of its error, and mark it while there is one."""
    field = "-".join(name)
    wrong = ' aria-invalid="true"' if field in context.get("slips", {}) else ""
    return format_html(' aria-describedby="slip-{}"{}', field, mark_safe(wrong))


@register.simple_tag
def fresh_id() -> str:
    """Make an id for a form, so that sending it twice keeps it once."""
    return str(uuid.uuid4())


@register.simple_tag
def limit_bar(limit: LimitLine) -> SafeString:
    """Draw a limit as a bar."""
    return mark_safe(draw_limit(limit))
