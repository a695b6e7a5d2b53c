"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
import shopapp.common.fields
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('payments', '0001_the_money_ledger'), ('payments', '0002_what_a_deposit_had_paid')]

    initial = True

    dependencies = [
        ('common', '0003_private_links'),
        ('people', '0003_customers_and_recipients'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Account',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=60, unique=True)),
                        ('label', models.CharField(max_length=160)),
                        ('for_whom', models.CharField(max_length=80)),
                        ('lines', models.TextField()),
                        ('carriage', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('tax', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('tax_included', models.BooleanField(default=True)),
                        ('deposit_share', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('gross', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('deposit', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('currency_symbol', models.CharField(max_length=4)),
                        ('currency_exponent', models.PositiveSmallIntegerField()),
                        ('home', models.CharField(blank=True, max_length=200)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='accounts', to='people.person')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('carriage__gte', 0), ('deposit__gte', 0), ('deposit__lte', models.F('gross')), ('gross__gte', 0)), name='account_is_of_a_sum')],
                    },
                ),
                migrations.CreateModel(
                    name='AccountEvent',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('expected', 'expected'), ('stopped', 'called off')], max_length=8)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('words', models.CharField(max_length=400)),
                        ('account', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='payments.account')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Invoice',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('year', models.PositiveSmallIntegerField()),
                        ('number', models.PositiveIntegerField()),
                        ('for_whom', models.CharField(max_length=80)),
                        ('address', models.CharField(blank=True, max_length=400)),
                        ('dated', models.DateField()),
                        ('words', models.CharField(blank=True, max_length=600)),
                        ('net', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('tax_sum', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('gross', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('letterhead', models.JSONField(default=dict)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                        ('kind', models.CharField(choices=[('deposit', 'deposit invoice'), ('rest', 'invoice for the rest'), ('whole', 'invoice')], max_length=7)),
                        ('due', models.DateField()),
                        ('tax', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('tax_included', models.BooleanField(default=True)),
                        ('currency_symbol', models.CharField(max_length=4)),
                        ('currency_exponent', models.PositiveSmallIntegerField()),
                        ('account', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='invoices', to='payments.account')),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-year', '-number'],
                        'indexes': [models.Index(fields=['dated'], name='payments_in_dated_0b9fe0_idx')],
                        'constraints': [models.UniqueConstraint(fields=('year', 'number'), name='one_invoice_of_each_number'), models.CheckConstraint(condition=models.Q(('gross__gt', 0), ('tax_sum__gte', 0), ('tax_sum__lte', models.F('gross'))), name='invoice_is_of_a_sum'), models.CheckConstraint(condition=models.Q(('due__gte', models.F('dated'))), name='invoice_is_due_after_its_day')],
                    },
                ),
                migrations.CreateModel(
                    name='CreditNote',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('year', models.PositiveSmallIntegerField()),
                        ('number', models.PositiveIntegerField()),
                        ('for_whom', models.CharField(max_length=80)),
                        ('address', models.CharField(blank=True, max_length=400)),
                        ('dated', models.DateField()),
                        ('words', models.CharField(blank=True, max_length=600)),
                        ('net', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('tax_sum', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('gross', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('letterhead', models.JSONField(default=dict)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('invoice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='credit_notes', to='payments.invoice')),
                    ],
                    options={
                        'ordering': ['-year', '-number'],
                        'constraints': [models.UniqueConstraint(fields=('year', 'number'), name='one_credit_note_of_each_number'), models.CheckConstraint(condition=models.Q(('gross__gt', 0), ('tax_sum__gte', 0), ('tax_sum__lte', models.F('gross'))), name='credit_note_is_of_a_sum')],
                    },
                ),
                migrations.CreateModel(
                    name='InvoiceLine',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('place', models.PositiveSmallIntegerField()),
                        ('words', models.CharField(max_length=200)),
                        ('count', models.PositiveIntegerField()),
                        ('each', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('amount', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('invoice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lines', to='payments.invoice')),
                    ],
                    options={
                        'ordering': ['place'],
                        'constraints': [models.UniqueConstraint(fields=('invoice', 'place'), name='one_invoice_line_at_each_place')],
                    },
                ),
                migrations.CreateModel(
                    name='MoneyPaper',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('credit_note', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='paper', to='payments.creditnote')),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('invoice', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='paper', to='payments.invoice')),
                    ],
                    options={
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('credit_note__isnull', False), ('invoice__isnull', True)), models.Q(('credit_note__isnull', True), ('invoice__isnull', False)), _connector='OR'), name='a_paper_of_one_thing')],
                    },
                ),
                migrations.CreateModel(
                    name='Payment',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('on', models.DateField()),
                        ('amount', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('how', models.CharField(choices=[('cash', 'cash'), ('transfer', 'bank transfer'), ('card', 'card'), ('other', 'another way')], max_length=8)),
                        ('note', models.CharField(blank=True, max_length=200)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('invoice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='payments', to='payments.invoice')),
                        ('takes_back', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='taken_back', to='payments.payment')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['pk'],
                        'indexes': [models.Index(fields=['on'], name='payments_pa_on_792074_idx')],
                        'constraints': [models.CheckConstraint(condition=models.Q(('amount', 0), _negated=True), name='payment_is_of_something')],
                    },
                ),
                migrations.CreateModel(
                    name='Series',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('invoice', 'invoices'), ('credit', 'credit notes')], max_length=7)),
                        ('year', models.PositiveSmallIntegerField()),
                    ],
                    options={
                        'constraints': [models.UniqueConstraint(fields=('kind', 'year'), name='one_series_a_year')],
                    },
                ),
                migrations.CreateModel(
                    name='TakenOff',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('net', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('tax_sum', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('gross', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('deposit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='taken_by', to='payments.invoice')),
                        ('invoice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='taken_off', to='payments.invoice')),
                        ('paid', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                    ],
                    options={
                        'ordering': ['pk'],
                        'constraints': [models.UniqueConstraint(fields=('invoice', 'deposit'), name='a_deposit_taken_off_once')],
                    },
                ),
            ],
        ),
    ]
