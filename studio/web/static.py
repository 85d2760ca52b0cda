"""Static files under hashed names, ES module imports included."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    support_js_module_import_aggregation = True
