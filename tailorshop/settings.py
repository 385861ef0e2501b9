"""Settings of the shop; every one that an installation may change is read in `env`."""

from pathlib import Path

import django_stubs_ext
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from tailorshop import env

# So that ModelForm[Customer] and the like can be written as the type checker wants them.
django_stubs_ext.monkeypatch()

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = env.folder("VAR", BASE_DIR / "var")
VAR_DIR.mkdir(parents=True, exist_ok=True)

SAMPLE_KEY = "sample-key-for-a-demo-shop-on-one-machine-only-not-for-a-public-address"
DEBUG = env.switch("DEBUG", default=False)
SECRET_KEY = env.text("SECRET_KEY", SAMPLE_KEY)
SECRET_KEY_FALLBACKS = env.words("SECRET_KEY_FALLBACKS")
ALLOWED_HOSTS = env.words("ALLOWED_HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = env.words("TRUSTED_ORIGINS")
HTTPS = env.switch("HTTPS", default=False)
if HTTPS and SECRET_KEY == SAMPLE_KEY:
    raise ImproperlyConfigured(
        "TAILORSHOP_SECRET_KEY is still the sample key: set a long random one before serving HTTPS."
    )

INSTALLED_APPS = [
    "tailorshop",
    "fittings",
    "patterns",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_htmx",
    "template_partials",
    "simple_history",
    "csp",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
    "django_tasks",
    "django_tasks_db",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "tailorshop.logs.RequestLogMiddleware",
    # Outside of whatever may answer by itself, so that refusals and faults say it too.
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "tailorshop.guards.GuardMiddleware",
    "tailorshop.steps.DoorMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "tailorshop.signing_in.idle.IdleMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "tailorshop.signing_in.fitting_now.FittingNowMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "tailorshop.devices.MadeByMiddleware",
    "tailorshop.roles.RoleMiddleware",
    "tailorshop.signing_in.second_factor.SecondFactorMiddleware",
    "tailorshop.trail.seen.SeenMiddleware",
    "tailorshop.sent_once.SentOnceMiddleware",
    "tailorshop.answers.AnswerMiddleware",
]

# How the lines about the running are set out; neither way names a person.
LOGGING_CONFIG = "tailorshop.logs.configure"
LOGGING = {"form": env.one_of("LOGS", ("plain", "json", "quiet"))}

ROOT_URLCONF = "tailorshop.urls"
WSGI_APPLICATION = "tailorshop.wsgi.application"
FORM_RENDERER = "tailorshop.rendering.ShopFormRenderer"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "tailorshop.roles.may",
            ],
        },
    }
]

SQLITE_ADDRESS = f"sqlite:///{VAR_DIR / 'shop.sqlite3'}"
DATABASES = {"default": env.database(SQLITE_ADDRESS)}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # FULL: NORMAL can lose the last commits when the power goes. secure_delete: an erased name
    # must not stay readable in the file.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA secure_delete=ON;"
            "PRAGMA mmap_size=134217728; PRAGMA journal_size_limit=27103364;"
        ),
    }
    DATABASES["default"]["CONN_MAX_AGE"] = 0
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Counts of wrong tries must be the same for every process and host: a table, not memory.
CACHES = {
    "default": {
        "BACKEND": "tailorshop.steady_cache.SteadyDatabaseCache",
        "LOCATION": "shop_cache",
    },
    # No names in them; may be emptied at any time.
    "drawings": {
        "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
        "LOCATION": VAR_DIR / "drawings",
        "TIMEOUT": None,
        "OPTIONS": {"MAX_ENTRIES": 2000},
    },
}

# Long work (`fittings.errands`): rows of the same database, so that a shop needs no server for it.
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

AUTH_USER_MODEL = "tailorshop.User"
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"
# The longest a session may stand unused; who may see more is signed out sooner (`signing_in.idle`).
SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_ENGINE = "tailorshop.signing_in.sessions"
ACCOUNT_ADAPTER = "tailorshop.signing_in.adapters.ShopAccounts"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_SESSION_REMEMBER = True
ACCOUNT_LOGOUT_ON_PASSWORD_CHANGE = False
ACCOUNT_REAUTHENTICATION_TIMEOUT = 15 * 60
ACCOUNT_FORMS = {
    "login": "tailorshop.signing_in.forms.SignInForm",
    "reauthenticate": "tailorshop.signing_in.forms.ConfirmForm",
    "change_password": "tailorshop.signing_in.forms.OwnPasswordForm",
}
MFA_FORMS = {
    "authenticate": "tailorshop.signing_in.forms.CodeForm",
    "reauthenticate": "tailorshop.signing_in.forms.ConfirmByCodeForm",
    "activate_totp": "tailorshop.signing_in.forms.AppForm",
    "add_webauthn": "tailorshop.signing_in.forms.PasskeyForm",
    "authenticate_webauthn": "tailorshop.signing_in.forms.PasskeyCodeForm",
    "login_webauthn": "tailorshop.signing_in.forms.SignInByPasskeyForm",
    "reauthenticate_webauthn": "tailorshop.signing_in.forms.ConfirmByPasskeyForm",
}
MFA_ADAPTER = "tailorshop.signing_in.adapters.ShopSecondFactor"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
# One step of thirty seconds to either side: clocks of telephones and of a shop's computer differ.
MFA_TOTP_TOLERANCE = 1
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = DEBUG
# Roles that must have a second factor: owner, keeper.
SECOND_FACTOR_FOR = env.words("SECOND_FACTOR_FOR")

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.text("TIME_ZONE", "UTC")
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = env.folder("STATIC", VAR_DIR / "static")
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
STATICFILES_DIRS = [BASE_DIR / "static"]
STORAGES = {
    "default": env.photograph_store(),
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if not DEBUG
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = DEBUG
MEDIA_ROOT = VAR_DIR / "media"
# Outside the record and never inside a backup of it: what a restored record must forget again.
ERASURE_LIST = VAR_DIR / "erased.jsonl"
BACKUPS_DIR = env.folder("BACKUPS", VAR_DIR / "backups")
PHOTOGRAPH_MOST_BYTES = env.whole_number("PHOTOGRAPH_MB", 15) * 1_000_000
# The largest request of all, files included; and the words and fields of a form in it.
REQUEST_MOST_BYTES = env.whole_number("REQUEST_MB", 200) * 1_000_000
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000
DATA_UPLOAD_MAX_NUMBER_FILES = 100
# Who sends a photograph's file after we have said that it may be seen.
HAND_OVER_FILES = env.one_of("HAND_OVER_FILES", ("none", "x-accel-redirect"))

# The address printed on tickets: what the QR code opens.
PUBLIC_ADDRESS = env.text("PUBLIC_ADDRESS", "http://127.0.0.1:8000").rstrip("/")
SHOP_NAME = env.text("SHOP_NAME", "The shop")

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_SSL_REDIRECT = HTTPS
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
if HTTPS:
    # Of this name only, and never set by a neighbour below the same domain.
    SESSION_COOKIE_NAME = "__Host-sessionid"
    CSRF_COOKIE_NAME = "__Host-csrftoken"
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
if env.switch("BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    ALLAUTH_TRUSTED_PROXY_COUNT = 1
