"""Template tag that puts a drawing on a page."""

from django import template
from django.utils.safestring import SafeString, mark_safe

from marshlight.answers.flame_sketch import BurnerSketch
from marshlight.answers.gas_train_sketch import GasTrainSketch
from marshlight.answers.picture import VesselPicture
from marshlight.answers.triangle import TrianglePicture
from marshlight.server.drawing import draw_vessel
from marshlight.server.drawing.burner import draw_burner
from marshlight.server.drawing.gas_train import draw_gas_train
from marshlight.server.drawing.triangle import draw_triangle
from marshlight.units import show

register = template.Library()


@register.simple_tag
def drawing(
    picture: VesselPicture, variant: str = "run", ident: str = "vessel", system: str = "metric"
) -> SafeString:
    """Draw a vessel; every text in it is escaped by the drawing itself."""
    return mark_safe(
        draw_vessel(
            picture,
            variant=variant,
            ident=ident,
            length=lambda metres: show(metres, "length", system=system),
        )
    )


@register.simple_tag
def triangle_drawing(picture: TrianglePicture, window: str = "whole") -> SafeString:
    """Draw the triangle, whole or its corner near air; the drawing escapes its texts."""
    enlarged = window == "corner"
    return mark_safe(draw_triangle(picture, enlarged=enlarged, ident=f"triangle-{window}"))


@register.simple_tag
def gas_train_drawing(sketch: GasTrainSketch) -> SafeString:
    """Draw a gas train from vessel to burner; the drawing escapes its texts."""
    return mark_safe(draw_gas_train(sketch))


@register.simple_tag
def burner_drawing(sketch: BurnerSketch) -> SafeString:
    """Draw a burner in section; the drawing escapes its texts."""
    return mark_safe(draw_burner(sketch))
