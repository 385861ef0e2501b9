"""How forms are drawn: by templates of our own, one per field."""

from django.forms.renderers import TemplatesSetting


class ShopFormRenderer(TemplatesSetting):
    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"
