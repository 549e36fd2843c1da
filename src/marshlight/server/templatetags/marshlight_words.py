"""A tag and a filter for sentences of the engine: the reader's units, a capital to begin with."""

from django import template

from marshlight.answers.reader import in_reader_units
from marshlight.answers.words import capital

register = template.Library()
register.filter("capital", capital)


@register.simple_tag(takes_context=True)
def spoken(context: template.Context, text: str) -> str:
    """Write a sentence in the units of the page's run, else of the first site."""
    return in_reader_units(text, system_in(context))


def system_in(context: template.Context) -> str:
    """Give the units a page speaks: "metric" or "us"."""
    site = getattr(context.get("run"), "site", None) or context.get("home_site")
    return str(getattr(site, "units", "metric"))
