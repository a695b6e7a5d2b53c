"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
import shopapp.common.fields
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('quotes', '0001_initial'), ('quotes', '0002_drafts_options_answers'), ('quotes', '0003_an_option_for_each_quote'), ('quotes', '0004_an_offer_is_its_options')]

    initial = True

    dependencies = [
        ('common', '0003_private_links'),
        ('people', '0003_customers_and_recipients'),
        ('plans', '0007_shop_books'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Quote',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('year', models.PositiveSmallIntegerField()),
                        ('number', models.PositiveIntegerField()),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                        ('for_whom', models.CharField(max_length=80)),
                        ('title', models.CharField(max_length=80)),
                        ('dated', models.DateField()),
                        ('valid_until', models.DateField()),
                        ('carriage', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('tax', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('tax_included', models.BooleanField(default=True)),
                        ('currency_symbol', models.CharField(max_length=4)),
                        ('currency_exponent', models.PositiveSmallIntegerField()),
                        ('words', models.CharField(blank=True, max_length=600)),
                        ('care', models.CharField(max_length=300)),
                        ('left_out', models.CharField(blank=True, max_length=300)),
                        ('terms', models.CharField(blank=True, max_length=600)),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='quotes.quote')),
                        ('deposit', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('figures', models.TextField(blank=True)),
                        ('figures_sha256', models.CharField(blank=True, max_length=64)),
                        ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='quotes', to='people.person')),
                        ('shows_sums', models.BooleanField(default=False)),
                        ('there_by', models.DateField(null=True)),
                        ('there_by_words', models.CharField(blank=True, max_length=300)),
                        ('version', models.PositiveSmallIntegerField(default=1)),
                        ('wanted_by', models.DateField(null=True)),
                        ('whose_picture', models.CharField(blank=True, max_length=1000)),
                        ('called_off', models.CharField(blank=True, max_length=600)),
                        ('there_by_reckoned', models.DateField(null=True)),
                    ],
                    options={
                        'ordering': ['-year', '-number', '-version'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('valid_until__gte', models.F('dated'))), name='quote_is_valid_on_its_day'), models.UniqueConstraint(fields=('year', 'number', 'version'), name='one_quote_of_each_number'), models.CheckConstraint(condition=models.Q(('carriage__gte', 0)), name='quote_carriage_is_not_below_nought')],
                    },
                ),
                migrations.CreateModel(
                    name='QuoteEvent',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('made', 'made'), ('sent', 'sent'), ('accepted', 'accepted'), ('declined', 'declined'), ('lapsed', 'lapsed'), ('replaced', 'replaced by another'), ('withdrawn', 'withdrawn')], max_length=10)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('words', models.CharField(max_length=400)),
                        ('quote', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='quotes.quote')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'constraints': [models.UniqueConstraint(fields=('quote', 'kind'), name='each_quote_event_once'), models.UniqueConstraint(condition=models.Q(('kind__in', ['accepted', 'declined', 'lapsed', 'replaced', 'withdrawn'])), fields=('quote',), name='a_quote_ends_once')],
                    },
                ),
                migrations.CreateModel(
                    name='QuotePaper',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('quote', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='paper', to='quotes.quote')),
                    ],
                ),
                migrations.CreateModel(
                    name='DraftOption',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('place', models.PositiveSmallIntegerField()),
                        ('label', models.CharField(blank=True, max_length=80)),
                        ('price', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                        ('draft', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='options', to='quotes.quotedraft')),
                    ],
                    options={
                        'ordering': ['place'],
                        'constraints': [models.UniqueConstraint(fields=('draft', 'plan'), name='a_plan_once_in_a_draft')],
                    },
                ),
                migrations.CreateModel(
                    name='QuoteAnswer',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('accepted', 'accepted'), ('declined', 'declined')], max_length=8)),
                        ('name', models.CharField(max_length=80)),
                        ('on', models.DateField()),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('shown', models.TextField()),
                        ('shown_sha256', models.CharField(max_length=64)),
                        ('link', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.privatelink')),
                        ('quote', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='answer', to='quotes.quote')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('option', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='quotes.quoteoption')),
                    ],
                ),
                migrations.CreateModel(
                    name='QuoteDraft',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('for_whom', models.CharField(blank=True, max_length=80)),
                        ('title', models.CharField(max_length=80)),
                        ('wanted_by', models.DateField(null=True)),
                        ('valid_until', models.DateField()),
                        ('carriage', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('deposit', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('words', models.CharField(blank=True, max_length=600)),
                        ('care', models.CharField(blank=True, max_length=300)),
                        ('left_out', models.CharField(blank=True, max_length=300)),
                        ('terms', models.CharField(blank=True, max_length=600)),
                        ('shows_sums', models.BooleanField(default=False)),
                        ('put_aside', models.BooleanField(default=False)),
                        ('made', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='draft', to='quotes.quote')),
                        ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='quote_drafts', to='people.person')),
                        ('replaces', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='drafts', to='quotes.quote')),
                        ('called_off', models.CharField(blank=True, max_length=600)),
                        ('there_by', models.DateField(null=True)),
                    ],
                    options={
                        'ordering': ['-changed_at', '-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='QuoteOption',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('place', models.PositiveSmallIntegerField()),
                        ('label', models.CharField(max_length=80)),
                        ('boards', models.PositiveIntegerField()),
                        ('price', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quote_options', to='plans.plan')),
                        ('quote', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='options', to='quotes.quote')),
                    ],
                    options={
                        'ordering': ['place'],
                        'constraints': [models.UniqueConstraint(fields=('quote', 'place'), name='one_option_at_each_place'), models.CheckConstraint(condition=models.Q(('price__gt', 0)), name='option_has_a_price')],
                    },
                ),
                migrations.CreateModel(
                    name='QuoteWord',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('words', models.CharField(max_length=1000)),
                        ('link', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.privatelink')),
                        ('quote', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='said', to='quotes.quote')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['pk'],
                    },
                ),
            ],
        ),
    ]
