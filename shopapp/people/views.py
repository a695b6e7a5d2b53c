"""Signing in and out, and one's own password."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_http_methods

from shopapp.common.actions import AlreadySent, was_spent

from . import actions
from .forms import NewPasswordForm, SignInForm


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    template_name = "people/sign_in.html"
    form_class = SignInForm
    redirect_authenticated_user = True

    def form_invalid(self, form: SignInForm) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=422)


class SignOut(LogoutView):
    http_method_names = ["post", "options"]


@require_http_methods(["GET", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    if request.method == "POST" and was_spent(request.POST.get("form_key", "")):
        # Asked before the form is read: sent twice, the old password would be called wrong.
        return _password_holds(request)
    form = NewPasswordForm(request.user, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            member = actions.change_password(
                who=request.user, password=form.cleaned_data["new_password1"], spend=form.spend
            )
        except AlreadySent:
            return _password_holds(request)
        update_session_auth_hash(request, member)
        return _password_holds(request)
    return render(request, "people/password.html", {"form": form}, status=422 if form.errors else 200)


def _password_holds(request: HttpRequest) -> HttpResponse:
    messages.success(request, "Your new password holds from now on.")
    return redirect("people:password")
