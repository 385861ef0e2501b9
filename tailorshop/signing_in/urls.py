"""The addresses of signing in: only those that the shop uses are opened.

The library finds its own pages by names with an underscore; those that our templates name have
names of ours as well, at the same address.
"""

from django.urls import path

from tailorshop.devices import SignOut
from tailorshop.signing_in import pages
from tailorshop.signing_in.fitting_now import fitter_change, quick_code

urlpatterns = [
    path("sign-in/", pages.SignIn.as_view(), name="sign-in"),
    path("sign-in/", pages.SignIn.as_view(), name="account_login"),
    path("sign-in/code/", pages.Authenticate.as_view(), name="mfa_authenticate"),
    path("sign-in/passkey/", pages.SignInByPasskey.as_view(), name="mfa_login_webauthn"),
    path("sign-out/", SignOut.as_view(), name="sign-out"),
    path("sign-out/", SignOut.as_view(), name="account_logout"),
    path("fitter/", fitter_change, name="fitter-change"),
    path("own/quick-code/", quick_code, name="quick-code"),
    path("own/confirm/", pages.Confirm.as_view(), name="account_reauthenticate"),
    path("own/confirm/code/", pages.ConfirmByCode.as_view(), name="mfa_reauthenticate"),
    path(
        "own/confirm/passkey/", pages.ConfirmByPasskey.as_view(), name="mfa_reauthenticate_webauthn"
    ),
    path("own/password/", pages.ChangePassword.as_view(), name="account_change_password"),
    path("own/sessions/", pages.Sessions.as_view(), name="usersessions_list"),
    path("own/second-factor/", pages.SecondFactor.as_view(), name="mfa_index"),
    path("own/second-factor/app/", pages.AddApp.as_view(), name="mfa_activate_totp"),
    path("own/second-factor/app/remove/", pages.RemoveApp.as_view(), name="mfa_deactivate_totp"),
    path("own/second-factor/codes/", pages.Codes.as_view(), name="mfa_view_recovery_codes"),
    path(
        "own/second-factor/codes/new/", pages.NewCodes.as_view(), name="mfa_generate_recovery_codes"
    ),
    path("own/second-factor/passkeys/", pages.Passkeys.as_view(), name="mfa_list_webauthn"),
    path("own/second-factor/passkeys/new/", pages.AddPasskey.as_view(), name="mfa_add_webauthn"),
    path(
        "own/second-factor/passkeys/<int:pk>/remove/",
        pages.RemovePasskey.as_view(),
        name="mfa_remove_webauthn",
    ),
]
