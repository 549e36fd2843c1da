"""A template tag that writes sentences of the engine in the reader's units."""

from django import template

from marshlight.answers.reader import in_reader_units

register = template.Library()


@register.simple_tag(takes_context=True)
def spoken(context: template.Context, text: str) -> str:
    """Write a sentence in the units of the page's run, else of the first site."""
    return in_reader_units(text, system_in(context))


def system_in(context: template.Context) -> str:
    """Give the units a page speaks: "metric" or "us"."""
    site = getattr(context.get("run"), "site", None) or context.get("home_site")
    return str(getattr(site, "units", "metric"))
