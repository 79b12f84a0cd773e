"""Settings: one file, values from the environment, works with none set.

Each variable is described in README.md, "Configuration".
"""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shopqc import environment

BASE_DIR = Path(__file__).resolve().parent.parent
HOME = Path(environment.text("SHOPQC_HOME", str(BASE_DIR / "var"))).resolve()
HOME.mkdir(parents=True, exist_ok=True)

SECRET_KEY = environment.secret_key("SHOPQC_SECRET_KEY", HOME)
DEBUG = environment.flag("SHOPQC_DEBUG", False)
FLOOR_URL = environment.address("SHOPQC_FLOOR_URL", "http://127.0.0.1:8000")
PUBLIC_URL = environment.address("SHOPQC_PUBLIC_URL", FLOOR_URL)
ALLOWED_HOSTS = environment.names(
    "SHOPQC_ALLOWED_HOSTS",
    sorted(
        {urlsplit(FLOOR_URL).hostname or "", urlsplit(PUBLIC_URL).hostname or "", "localhost", "127.0.0.1"}
    ),
)
TRUSTED_PROXIES = environment.whole_number("SHOPQC_TRUSTED_PROXIES", 0)
FILE_STORE = HOME / "files"
# At which hour of the shop's night the paper pack is made; not at all if it is not set.
PAPER_PACK_HOUR = environment.hour("SHOPQC_PAPER_PACK_HOUR")
# A gauge that is only pretended, for trying the program out; a shop that measures leaves this alone.
SIMULATED_GAUGE = environment.flag("SHOPQC_SIMULATED_GAUGE", False)

# --- what is asked where -----------------------------------------------------------------------
STATION_GATE = "inspections.gate.answer"
NONCONFORMANCE_OPENER = "inspections.operations.nonconformances.open_nonconformance"
CERTIFICATE_QUESTIONER = "inspections.operations.doubts.question_certificate"
STEEL_ACCEPTED = "inspections.queries.wrong_steel_accepted_at"
RELEASE_PLANNER = "inspections.releases.resolve_plan"
HOME_PLACES = ["housings.places.places", "inspections.places.places", "shopqc.places.places"]
HOUSING_PANELS = [
    "housings.weld_panel.welds_here",
    "inspections.pages.weld_panels.looks_here",
    "inspections.pages.weld_panels.tests_here",
    "inspections.panels.due_here",
    "housings.material_panel.panel",
    "inspections.panels.before_the_cut",
    "inspections.panels.where_measured",
    "inspections.panels.how_welded",
    "inspections.panels.found_and_proven",
    "inspections.before_after.panel",
]
JOINT_PANELS = ["inspections.pages.weld_panels.acceptance"]
# What reads many housings together, so that a page of sixty asks no more often than one of six.
SITUATIONS_FILLED = ["inspections.weld_queries.fill"]
TRAVELER_ASKS = ["housings.traveler_welds.asks", "inspections.traveler_asks.asks"]
TRAVELER_FOUND = ["housings.traveler_welds.found", "inspections.traveler_asks.found"]
PACK_REMARKS = ["inspections.traveler_asks.remarks"]

INSTALLED_APPS = [
    "shopqc",
    "housings",
    "inspections",
    "shopqc.admin_apps.ReadOnlyAdminConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "rest_framework",
    "csp",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "shopqc.middleware.ClearPath",
    "shopqc.middleware.PublicHost",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "shopqc.middleware.RefusalPages",
]
ROOT_URLCONF = "shopqc.urls"
# What SHOPQC_PUBLIC_URL answers, if it is another host than the floor's.
PUBLIC_URLCONF = "inspections.public_urls"
WSGI_APPLICATION = "shopqc.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shopqc.pages.every.shop_context",
            ]
        },
    }
]

# --- database ------------------------------------------------------------------------------------
DATABASES = {
    "default": dj_database_url.parse(
        environment.text("SHOPQC_DATABASE_URL", f"sqlite:///{HOME / 'shopqc.sqlite3'}"),
        conn_max_age=None,
    )
}
match DATABASES["default"]["ENGINE"]:
    case "django.db.backends.sqlite3":
        # IMMEDIATE: without it two writers that read first deadlock. recursive_triggers: without it
        # INSERT OR REPLACE passes the triggers that seal a table.
        DATABASES["default"]["OPTIONS"] = {
            "timeout": 20,
            "transaction_mode": "IMMEDIATE",
            "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=NORMAL;"
            "PRAGMA recursive_triggers=ON;PRAGMA cache_size=-20000;",
        }
    case "django.db.backends.postgresql":
        DATABASES["default"]["OPTIONS"] = {
            **DATABASES["default"].get("OPTIONS", {}),
            "connect_timeout": 5,
            "options": "-c lock_timeout=10s -c idle_in_transaction_session_timeout=60s",
        }
    case engine:
        raise ImproperlyConfigured(f"SHOPQC_DATABASE_URL names {engine}; sqlite and postgresql are tried.")
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- people --------------------------------------------------------------------------------------
AUTH_USER_MODEL = "shopqc.Person"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = FLOOR_URL.startswith("https://")
CSRF_TRUSTED_ORIGINS = sorted({FLOOR_URL, PUBLIC_URL})
if TRUSTED_PROXIES:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# --- what a browser may do -----------------------------------------------------------------------
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000
FILE_UPLOAD_PERMISSIONS = 0o600

# --- words, times, files -------------------------------------------------------------------------
LANGUAGE_CODE = "en"
USE_I18N = True
USE_TZ = True
TIME_ZONE = environment.text("SHOPQC_TIME_ZONE", "UTC")
STATIC_URL = "static/"
STATIC_ROOT = HOME / "static"
STATIC_ROOT.mkdir(exist_ok=True)  # WhiteNoise warns of a folder that is not there
# No collectstatic step: WhiteNoise finds the files in the apps. The manifest is for shops that run it.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
WHITENOISE_MAX_AGE = 0 if DEBUG else 86_400

# --- API -----------------------------------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "shopqc.authentication.KeyAuthentication",
        "shopqc.authentication.PersonAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_PARSER_CLASSES": ["shopqc.strict_json.StrictJSONParser"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "EXCEPTION_HANDLER": "shopqc.api.problem_answer",
    "UNAUTHENTICATED_USER": None,
    # The header Accept says what is wanted; a parameter "format" would be a second way.
    "URL_FORMAT_OVERRIDE": None,
}

# --- background work -----------------------------------------------------------------------------
BROKER_URL = environment.text("SHOPQC_BROKER_URL", "filesystem://")
BROKER_FOLDER = HOME / "broker"
SWEEP_EVERY = timedelta(seconds=environment.whole_number("SHOPQC_SWEEP_SECONDS", 20, least=1))
LEASE_FOR = timedelta(seconds=environment.whole_number("SHOPQC_LEASE_SECONDS", 90, least=2))

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "INFO"},
    # They tell every step of every page.
    "loggers": {name: {"level": "WARNING"} for name in ("weasyprint", "fontTools")},
}
