"""One settings file. It runs as checked out; everything that differs by place comes from the
environment: DATABASE_URL, DEBUG, SECRET_KEY, MEDIA_ROOT, ERASURES_FILE, ALLOWED_HOSTS, HTTPS,
TASKS."""

import os
import secrets
from pathlib import Path

import dj_database_url
import django_stubs_ext
from django.utils.translation import gettext_lazy as _

# Lets annotations such as QuerySet[Piece] stand at run time.
django_stubs_ext.monkeypatch()

BASE_DIR = Path(__file__).resolve().parents[2]
VAR_DIR = BASE_DIR / "var"


def _flag(name: str, *, default: bool = False) -> bool:
    return os.environ.get(name, str(default)).strip().lower() in {"1", "true", "yes", "on"}


def _secret_key() -> str:
    """The key from the environment, else one made once and kept beside the data."""
    if key := os.environ.get("SECRET_KEY"):
        return key
    file = VAR_DIR / "secret-key"
    if not file.exists():
        VAR_DIR.mkdir(exist_ok=True)
        # O_EXCL: two processes that start together must not end with different keys.
        try:
            handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            pass
        else:
            with os.fdopen(handle, "w") as out:
                out.write(secrets.token_urlsafe(64))
    return file.read_text()


DEBUG = _flag("DEBUG")
SECRET_KEY = _secret_key()
ALLOWED_HOSTS = [
    host.strip()
    for host in os.environ.get("ALLOWED_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
    if host.strip()
]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "rest_framework",
    "drf_spectacular",
    "django_tasks",
    "django_tasks_db",
    "studio.config",
    "studio.demo",
    "studio.keeping",
    "studio.board",
    "assessments",
    "studio.kilns",
    "studio.clay",
    "studio.bench",
    "studio.ware",
    "planning",
    "studio.room",
    "studio.jobs",
    "studio.uploads",
    "studio.people",
    "studio.web",
    "studio.paper",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "studio.web.middleware.PagePolicyMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "studio.people.middleware.StudioMiddleware",
    "studio.web.middleware.RefusalMiddleware",
]

ROOT_URLCONF = "studio.config.urls"
WSGI_APPLICATION = "studio.config.wsgi.application"

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
                "studio.board.nav.navigation",
            ]
        },
    }
]
FORM_RENDERER = "studio.web.forms.Renderer"

DATABASES = {
    "default": dj_database_url.config(default=f"sqlite:///{VAR_DIR / 'coilcourse.sqlite3'}")
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    VAR_DIR.mkdir(exist_ok=True)
    DATABASES["default"]["OPTIONS"] = {
        # A write transaction takes its lock at once, so that what it read can't have changed.
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        # What was acknowledged survives kill -9 and a power cut.
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 60
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.User"
AUTHENTICATION_BACKENDS = ["studio.people.backends.StudioBackend"]
# Names are unique within a studio (constraints on the model), which the check can't see.
SILENCED_SYSTEM_CHECKS = ["auth.W004"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("username", "given_name", "family_name")},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign_in"

LOCALE_PATHS = [BASE_DIR / "studio" / "locale"]
LANGUAGE_CODE = "en"
# A language is offered as soon as its compiled catalogue stands in studio/locale.
LANGUAGES = [("en", _("English"))] + [
    (catalogue.parts[-3].lower().replace("_", "-"), catalogue.parts[-3])
    for catalogue in sorted(LOCALE_PATHS[0].glob("*/LC_MESSAGES/django.mo"))
]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "studio" / "static"]
MEDIA_ROOT = Path(os.environ.get("MEDIA_ROOT", VAR_DIR / "media"))
# Who was erased: ids and times only, kept apart from the database, so that a restore of an older
# back-up erases them again.
ERASURES_FILE = Path(os.environ.get("ERASURES_FILE", VAR_DIR / "erasures"))
# Hashed names need `collectstatic`; a fresh checkout serves the plain files.
_COLLECTED = (STATIC_ROOT / "staticfiles.json").exists() and not DEBUG
WHITENOISE_USE_FINDERS = not _COLLECTED
STORAGES = {
    # Private: no address of its own; views serve it after a permission check.
    "default": {
        "BACKEND": "studio.uploads.storage.DurableStorage",
        "OPTIONS": {
            "location": MEDIA_ROOT,
            "base_url": None,
            "file_permissions_mode": 0o600,
            "directory_permissions_mode": 0o700,
        },
    },
    "staticfiles": {
        "BACKEND": "studio.web.static.HashedStaticFiles"
        if _COLLECTED
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
FILE_UPLOAD_HANDLERS = [
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "studio.uploads.handlers.BoundedUploadHandler",
]
# Files apart: how much of a request is held in memory.
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 3000
DATA_UPLOAD_MAX_NUMBER_FILES = 60

# "immediate" runs a job within the request that asked for it (tests, one-process trials).
TASKS = {
    "default": {
        "BACKEND": "django_tasks.backends.immediate.ImmediateBackend"
        if os.environ.get("TASKS") == "immediate"
        else "django_tasks_db.DatabaseBackend"
    }
}

# A kind of background work and where it is defined; jobs itself knows none of them.
JOB_KINDS = {
    "read_image": "studio.uploads.services.READ_IMAGE",
    "trace_drawing": "planning.services.plan_photos.TRACE_DRAWING",
    "read_form": "planning.services.ideas.READ_FORM_KIND",
    "compare_ideas": "planning.services.ideas.COMPARE_KIND",
    "take_sheet_apart": "planning.services.sheets.TAKE_APART_KIND",
    "cut_sheet": "planning.services.sheets.CUT_KIND",
    "read_scan": "planning.services.scans.READ_SCAN_KIND",
    "side_by_side": "planning.services.side_by_side.SIDE_BY_SIDE",
    "class_set": "studio.board.services.class_sets.CLASS_SET",
    "plan_week": "studio.kilns.services.week_plans.PLAN_WEEK",
}
# What `manage.py work` calls with the time now and then, beside taking over lost jobs.
HOUSEKEEPING = [
    "studio.jobs.services.clear_finished_jobs",
    "studio.uploads.services.clear_quarantine",
    "planning.services.ideas.compare_the_rest",
    "studio.board.services.class_sets.clear_class_sets",
    "studio.people.roster.kept.drop_old_uploads",
    "studio.keeping.services.finish_erasures",
]

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "studio.people.tokens.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["studio.people.api_access.SignedInWithinScope"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["studio.web.json.BoundedJSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    # The schema says what can be asked; OPTIONS would run permission checks for other methods.
    "DEFAULT_METADATA_CLASS": None,
    "DEFAULT_PAGINATION_CLASS": "studio.web.paging.Pages",
    "PAGE_SIZE": 100,
    "EXCEPTION_HANDLER": "studio.web.problems.problem_response",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Coilcourse",
    "DESCRIPTION": "From brief to released marks. Lengths mm, masses g, volumes cm³, °C.",
    "VERSION": "1",
    "SERVE_PERMISSIONS": ["studio.people.api_access.SignedInWithinScope"],
    "SERVE_INCLUDE_SCHEMA": False,
    # Choices that several fields share, or fields of one name with different choices.
    "ENUM_NAME_OVERRIDES": {
        "StageEnum": "studio.ware.models.Stage",
        "LostEnum": "studio.ware.models.Lost",
        "CauseEnum": "studio.ware.models.Cause",
        "PlaceKindEnum": "studio.ware.models.PlaceKind",
        "LotKindEnum": "studio.clay.models.LotKind",
        "EntryKindEnum": "studio.clay.models.EntryKind",
        "PartEnum": "studio.clay.models.BagPart",
        "OutcomeEnum": "studio.kilns.services.firing.OUTCOMES",
        "OutlineShapeEnum": "planning.api.compute_request.OUTLINE_SHAPES",
        "FurnitureShapeEnum": "studio.kilns.packing.inputs.SHELF_SHAPES",
        "ShelfPartEnum": "studio.kilns.packing.inputs.PARTS",
    },
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "studio.config.openapi.with_problems",
    ],
}

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "studio.web.errors.csrf_failed"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
# HTTPS=1 behind a proxy that ends TLS and sets X-Forwarded-Proto.
if _flag("HTTPS"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_SSL_REDIRECT = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
