"""Django's admin with our own site in place of its default one."""

from django.contrib.admin.apps import AdminConfig


class ReadOnlyAdminConfig(AdminConfig):
    default_site = "shopqc.admin_site.ReadOnlySite"
