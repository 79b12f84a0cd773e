"""Django's admin shows what is built and does not write it."""

from django.contrib import admin

from housings.models import Away, BuildSpec, Hold, Housing, Order, RouteDraft, RouteRevision, Visit, WorkDone
from shopqc.admin import ReadOnly

MODELS = [Away, BuildSpec, Hold, Housing, Order, RouteDraft, RouteRevision, Visit, WorkDone]

admin.site.register(MODELS, ReadOnly)
