"""Django's registration of the notebook."""

from django.apps import AppConfig


class NotebookConfig(AppConfig):
    """The notebook's tables live under the label ``notebook``."""

    name = "marshlight.notebook"
    label = "notebook"
    verbose_name = "Notebook"
    default_auto_field = "django.db.models.BigAutoField"
