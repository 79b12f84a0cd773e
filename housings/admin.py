"""Django's admin shows what is built and does not write it."""

from django.contrib import admin

from housings.models import BuildSpec, Hold, Housing, Order, RouteRevision, Visit, WorkDone
from shopqc.admin import ReadOnly

admin.site.register([BuildSpec, Hold, Housing, Order, RouteRevision, Visit, WorkDone], ReadOnly)
