"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('jobs', '0001_initial'), ('jobs', '0002_whom_a_job_is_for'), ('jobs', '0004_parts_cut_again'), ('jobs', '0005_about_an_earlier_piece'), ('jobs', '0006_what_was_open_when_it_was_finished'), ('jobs', '0007_how_its_rows_are_laid'), ('jobs', '0008_running_time')]

    initial = True

    dependencies = [
        ('people', '0003_customers_and_recipients'),
        ('plans', '0007_shop_books'),
        ('quotes', '0001_initial'),
        ('schedule', '0002_time_log'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Job',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('label', models.CharField(max_length=80)),
                        ('kind', models.CharField(choices=[('gift', 'gift'), ('commission', 'commission'), ('sale', 'for sale'), ('repair', 'repair'), ('remake', 'remake'), ('complaint', 'complaint')], max_length=10)),
                        ('for_whom', models.CharField(blank=True, max_length=80)),
                        ('due', models.DateField(null=True)),
                        ('state', models.CharField(choices=[('planned', 'planned'), ('under way', 'under way'), ('finished', 'finished'), ('handed over', 'handed over'), ('called off', 'called off')], default='planned', max_length=12)),
                        ('plan', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='plans.plan')),
                        ('quote', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='job', to='quotes.quote')),
                        ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='people.person')),
                        ('of', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='after', to='jobs.job')),
                        ('settled', models.CharField(blank=True, choices=[('charged', 'charged to whoever wants it'), ('reserve', 'against the reserve for boards lost')], max_length=8)),
                        ('face_down', models.BooleanField(default=False)),
                    ],
                    options={
                        'ordering': [models.OrderBy(models.F('due'), nulls_last=True), 'pk'],
                        'indexes': [models.Index(fields=['state', 'due'], name='jobs_job_state_46fb76_idx')],
                    },
                ),
                migrations.CreateModel(
                    name='JobEvent',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('state', models.CharField(choices=[('planned', 'planned'), ('under way', 'under way'), ('finished', 'finished'), ('handed over', 'handed over'), ('called off', 'called off')], max_length=12)),
                        ('words', models.CharField(max_length=400)),
                        ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='jobs.job')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('left', models.JSONField(default=dict)),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='PartEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('spoiled', 'spoiled'), ('besides', 'wanted besides the plan'), ('again', 'cut again'), ('taken back', 'taken back')], max_length=10)),
                        ('part', models.PositiveSmallIntegerField()),
                        ('what', models.CharField(max_length=160)),
                        ('count', models.PositiveIntegerField()),
                        ('why', models.CharField(blank=True, max_length=160)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='part_entries', to='jobs.job')),
                        ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.plan')),
                        ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='jobs.partentry')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'part entries',
                        'ordering': ['-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('count__gt', 0)), name='some_parts_at_least'), models.CheckConstraint(condition=models.Q(models.Q(('kind', 'taken back'), ('undoes__isnull', False)), models.Q(models.Q(('kind', 'taken back'), _negated=True), ('undoes__isnull', True)), _connector='OR'), name='what_is_taken_back_is_named')],
                    },
                ),
                migrations.CreateModel(
                    name='TimerEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('board', models.PositiveSmallIntegerField(default=1)),
                        ('kind', models.CharField(choices=[('begun', 'begun'), ('stopped', 'stopped and written down'), ('dropped', 'thrown away')], max_length=8)),
                        ('token', models.CharField(max_length=64)),
                        ('operation', models.CharField(max_length=40)),
                        ('at', models.DateTimeField()),
                        ('ends', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='ended_by', to='jobs.timerentry')),
                        ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='timer_entries', to='jobs.job')),
                        ('time', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='schedule.timeentry')),
                        ('timetable', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.kepttimetable')),
                        ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'timer entries',
                        'ordering': ['-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('ends__isnull', True), ('kind', 'begun'), ('time__isnull', True)), models.Q(('ends__isnull', False), ('kind', 'stopped'), ('time__isnull', False)), models.Q(('ends__isnull', False), ('kind', 'dropped'), ('time__isnull', True)), _connector='OR'), name='what_ends_a_time_names_it'), models.UniqueConstraint(condition=models.Q(('kind', 'begun')), fields=('token',), name='a_time_is_begun_once')],
                    },
                ),
            ],
        ),
    ]
