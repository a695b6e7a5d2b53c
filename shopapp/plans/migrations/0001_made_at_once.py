"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
import shopapp.common.fields
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('plans', '0001_initial'), ('plans', '0002_currency_of_a_plan'), ('plans', '0003_cut_plans'), ('plans', '0004_cuts_done'), ('plans', '0005_tiles_measured'), ('plans', '0006_timetables'), ('plans', '0007_shop_books')]

    initial = True

    dependencies = [
        ('common', '0002_initial'),
        ('designs', '0001_initial'),
        ('lumber', '0007_stocktakes_and_labels'),
        ('people', '0001_initial'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Plan',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('title', models.CharField(max_length=120)),
                        ('kept_at', models.DateTimeField(auto_now_add=True)),
                        ('planner_version', models.CharField(max_length=20)),
                        ('inputs', models.TextField()),
                        ('result', models.TextField()),
                        ('sha256', models.CharField(max_length=64)),
                        ('price', models.DecimalField(decimal_places=4, max_digits=14, null=True)),
                        ('minutes', models.PositiveIntegerField()),
                        ('design', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='plans', to='designs.design')),
                        ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('version', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='plans', to='designs.patternversion')),
                        ('currency_exponent', models.PositiveSmallIntegerField(default=2)),
                        ('currency_symbol', models.CharField(default='', max_length=4)),
                    ],
                    options={
                        'ordering': ['-kept_at', '-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='BuildSheet',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('plan', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='build_sheet', to='plans.plan')),
                    ],
                ),
                migrations.CreateModel(
                    name='CutSheet',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('wishes', models.JSONField(default=dict)),
                        ('pieces', models.JSONField(default=list)),
                        ('cost', models.BigIntegerField(null=True)),
                        ('floor', models.BigIntegerField(null=True)),
                        ('currency_symbol', models.CharField(default='', max_length=4)),
                        ('currency_exponent', models.PositiveSmallIntegerField(default=2)),
                        ('kept_at', models.DateTimeField(auto_now_add=True)),
                        ('form', models.TextField()),
                        ('set_ups', models.TextField(blank=True)),
                        ('sha256', models.CharField(max_length=64)),
                        ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', '-id'], name='newest_sheet_of_a_key')],
                    },
                ),
                migrations.CreateModel(
                    name='CutPaper',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('sheet', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='paper', to='plans.cutsheet')),
                    ],
                ),
                migrations.CreateModel(
                    name='CutSearch',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('wishes', models.JSONField(default=dict)),
                        ('pieces', models.JSONField(default=list)),
                        ('cost', models.BigIntegerField(null=True)),
                        ('floor', models.BigIntegerField(null=True)),
                        ('currency_symbol', models.CharField(default='', max_length=4)),
                        ('currency_exponent', models.PositiveSmallIntegerField(default=2)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('minutes', models.PositiveSmallIntegerField(default=3)),
                        ('file', models.TextField(blank=True)),
                        ('input_hash', models.CharField(max_length=64)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('began_at', models.DateTimeField(null=True)),
                        ('heartbeat_at', models.DateTimeField(null=True)),
                        ('stop_asked', models.BooleanField(default=False)),
                        ('best', models.TextField(blank=True)),
                        ('looked', models.PositiveIntegerField(default=0)),
                        ('ended_at', models.DateTimeField(null=True)),
                        ('tried_out', models.BooleanField(default=False)),
                        ('trouble', models.TextField(blank=True)),
                        ('asked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', '-id'], name='newest_search_of_a_key'), models.Index(fields=['input_hash'], name='searches_of_one_job')],
                    },
                ),
                migrations.CreateModel(
                    name='CutEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('started', 'started'), ('cut', 'cut'), ('returned', 'offcuts brought back'), ('undone', 'undone')], max_length=10)),
                        ('board', models.CharField(blank=True, max_length=12)),
                        ('rough', models.PositiveSmallIntegerField(null=True)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('words', models.CharField(max_length=400)),
                        ('offcuts', models.JSONField(default=list)),
                        ('sheet', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='plans.cutsheet')),
                        ('stock_entry', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='lumber.stockentry')),
                        ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='plans.cutentry')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'cut entries',
                        'ordering': ['-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('kind', 'cut'), _negated=True), models.Q(('rough__gt', 0), models.Q(('board', ''), _negated=True)), _connector='OR'), name='a_cut_is_of_a_rough_length'), models.CheckConstraint(condition=models.Q(models.Q(('kind', 'undone'), ('undoes__isnull', False)), models.Q(models.Q(('kind', 'undone'), _negated=True), ('undoes', None)), _connector='OR'), name='what_is_undone_is_named')],
                    },
                ),
                migrations.CreateModel(
                    name='TileMeasured',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('tiles', models.PositiveSmallIntegerField()),
                        ('pieces', models.PositiveSmallIntegerField()),
                        ('length', shopapp.common.fields.LengthField()),
                        ('width', shopapp.common.fields.LengthField(null=True)),
                        ('keep', models.CharField(choices=[('borders', 'the borders'), ('size', 'the finished size')], max_length=10)),
                        ('sheet', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='measures', to='plans.cutsheet')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'tiles measured',
                        'ordering': ['-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('pieces__gte', 1), ('tiles__gte', models.F('pieces'))), name='tiles_come_in_pieces'), models.CheckConstraint(condition=models.Q(('length__gt', 0), models.Q(('width', None), ('width__gt', 0), _connector='OR')), name='what_is_measured_is_there')],
                    },
                ),
                migrations.CreateModel(
                    name='KeptTimetable',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('boards', models.JSONField(default=list)),
                        ('wishes', models.JSONField(default=dict)),
                        ('first', models.DateField()),
                        ('form', models.TextField(blank=True)),
                        ('kept_at', models.DateTimeField(auto_now_add=True)),
                        ('advice', models.JSONField(default=list)),
                        ('sha256', models.CharField(max_length=64)),
                        ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', '-id'], name='newest_timetable_of_a_key')],
                    },
                ),
                migrations.CreateModel(
                    name='StepTick',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('step', models.CharField(max_length=80)),
                        ('words', models.CharField(max_length=200)),
                        ('done', models.BooleanField()),
                        ('at', models.DateTimeField()),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', 'step', '-id'], name='newest_tick_of_a_step')],
                    },
                ),
                migrations.CreateModel(
                    name='TimetablePaper',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('timetable', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='paper', to='plans.kepttimetable')),
                    ],
                ),
                migrations.CreateModel(
                    name='TimetableSearch',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('boards', models.JSONField(default=list)),
                        ('wishes', models.JSONField(default=dict)),
                        ('first', models.DateField()),
                        ('form', models.TextField(blank=True)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('advice', models.JSONField(default=list)),
                        ('ended_at', models.DateTimeField(null=True)),
                        ('trouble', models.TextField(blank=True)),
                        ('asked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', '-id'], name='newest_timetable_search')],
                    },
                ),
                migrations.CreateModel(
                    name='ShopBook',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('paper', models.CharField(choices=[('A4', 'A4'), ('letter', 'Letter')], max_length=8)),
                        ('seen', models.JSONField(default=dict)),
                        ('sha256', models.CharField(max_length=64, unique=True)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='books', to='plans.plan')),
                        ('sheet', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.cutsheet')),
                        ('timetable', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.kepttimetable')),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key', '-id'], name='newest_book_of_a_key')],
                    },
                ),
            ],
        ),
    ]
