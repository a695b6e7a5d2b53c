"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('designs', '0001_initial'), ('designs', '0002_initial'), ('designs', '0003_grids_kept_and_drawings_that_branch')]

    initial = True

    dependencies = [
        ('common', '0002_initial'),
        ('people', '0001_initial'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Design',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('name', models.CharField(max_length=80)),
                        ('incoming', models.CharField(blank=True, max_length=80)),
                        ('reading_task', models.CharField(blank=True, max_length=64)),
                        ('reading', models.JSONField(default=dict)),
                        ('trouble', models.TextField(blank=True)),
                        ('set_aside', models.BooleanField(default=False)),
                        ('grid', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('original', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('no_grid', models.BooleanField(default=False)),
                        ('rights', models.CharField(choices=[('own', 'mine'), ('permission', 'the customer’s, with permission'), ('open', 'under an open licence'), ('gift', 'for a private gift only'), ('unknown', 'not known')], default='unknown', max_length=12)),
                        ('rights_note', models.CharField(blank=True, max_length=200)),
                        ('shown', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('source', models.CharField(choices=[('picture', 'a picture'), ('blank', 'a blank grid'), ('pattern', 'a pattern brought in')], default='picture', max_length=10)),
                    ],
                    options={
                        'ordering': ['-changed_at', '-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='PatternVersion',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('number', models.PositiveIntegerField()),
                        ('kept_at', models.DateTimeField(auto_now_add=True)),
                        ('pattern', models.TextField()),
                        ('height', models.PositiveIntegerField()),
                        ('width', models.PositiveIntegerField()),
                        ('choices', models.JSONField(default=dict)),
                        ('design', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='versions', to='designs.design')),
                        ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('made', models.CharField(choices=[('woods', 'woods chosen'), ('bench', 'drawn at the bench'), ('brought', 'brought in')], default='woods', max_length=10)),
                        ('name', models.CharField(blank=True, max_length=60)),
                        ('parent', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='children', to='designs.patternversion')),
                    ],
                    options={
                        'ordering': ['design', '-number'],
                        'constraints': [models.UniqueConstraint(fields=('design', 'number'), name='one_pattern_of_each_number'), models.CheckConstraint(condition=models.Q(('height__range', (1, 200)), ('width__range', (1, 200))), name='pattern_within_limits')],
                    },
                ),
                migrations.CreateModel(
                    name='RightsAnswer',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('purpose', models.CharField(choices=[('quote', 'quoted'), ('list', 'listed')], max_length=10)),
                        ('rights', models.CharField(choices=[('own', 'mine'), ('permission', 'the customer’s, with permission'), ('open', 'under an open licence'), ('gift', 'for a private gift only'), ('unknown', 'not known')], max_length=12)),
                        ('answer', models.CharField(max_length=400)),
                        ('design', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rights_answers', to='designs.design')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['design', '-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='KeptGrid',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('number', models.PositiveIntegerField()),
                        ('kept_at', models.DateTimeField(auto_now_add=True)),
                        ('made', models.CharField(choices=[('read', 'as read'), ('other', 'another reading'), ('corrected', 'corrected by hand'), ('reduced', 'reduced to a chosen grid')], max_length=10)),
                        ('place', models.JSONField(default=dict)),
                        ('changes', models.JSONField(default=list)),
                        ('design', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='grids', to='designs.design')),
                        ('grid', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['design', '-number'],
                        'constraints': [models.UniqueConstraint(fields=('design', 'number'), name='one_grid_of_each_number')],
                    },
                ),
            ],
        ),
    ]
