"""The log-in page: only needed when others on the network can reach the notebook."""

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView

from marshlight.server.accounts import has_accounts


class LogIn(LoginView):
    """Ask for name and password."""

    template_name = "server/log_in.html"
    form_class = AuthenticationForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: object) -> dict[str, object]:
        """Add whether anyone could log in at all."""
        return {**super().get_context_data(**kwargs), "has_accounts": has_accounts()}


log_in = LogIn.as_view()
log_out = LogoutView.as_view()
