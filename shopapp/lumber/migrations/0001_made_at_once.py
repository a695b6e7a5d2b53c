"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
import django.utils.timezone
import shopapp.common.fields
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('lumber', '0001_initial'), ('lumber', '0002_colours_of_woods'), ('lumber', '0003_colours_set_by_eye'), ('lumber', '0004_the_rack'), ('lumber', '0005_tickets_counts_supplies'), ('lumber', '0007_stocktakes_and_labels'), ('lumber', '0008_samples_of_pieces')]

    initial = True

    dependencies = [
        ('common', '0002_initial'),
        ('people', '0001_initial'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='WoodOnHand',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('wood', models.SlugField(unique=True)),
                        ('name', models.CharField(max_length=60)),
                        ('price', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('per', models.CharField(choices=[('bf', 'a board foot'), ('m3', 'a cubic metre')], default='bf', max_length=2)),
                        ('rough_thickness', shopapp.common.fields.LengthField()),
                        ('rough_width', shopapp.common.fields.LengthField()),
                        ('finished_rgb', models.CharField(max_length=7)),
                        ('colour_is_stand_in', models.BooleanField(default=True)),
                        ('mark', models.CharField(max_length=20)),
                        ('on_hand', models.BooleanField(default=True)),
                    ],
                    options={
                        'ordering': ['-on_hand', 'name'],
                        'constraints': [models.UniqueConstraint(condition=models.Q(('on_hand', True)), fields=('mark',), name='one_wood_to_a_mark'), models.CheckConstraint(condition=models.Q(('rough_thickness__gt', 0), ('rough_width__gt', 0)), name='stock_has_a_size'), models.CheckConstraint(condition=models.Q(('price__gte', 0)), name='wood_price_not_negative')],
                    },
                ),
                migrations.CreateModel(
                    name='ColourPhoto',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('incoming', models.CharField(blank=True, max_length=80)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('trouble', models.TextField(blank=True)),
                        ('brought_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('shown', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('wood', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='colour_photos', to='lumber.woodonhand')),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='WoodColour',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('rgb', models.CharField(max_length=7)),
                        ('taken_at', models.DateTimeField(default=django.utils.timezone.now)),
                        ('card', models.CharField(blank=True, choices=[('white', 'a plain white card'), ('grey', 'a grey card of 18 %')], max_length=8)),
                        ('places', models.JSONField(default=dict)),
                        ('remarks', models.JSONField(default=list)),
                        ('photo', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                        ('taken_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('wood', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='colours', to='lumber.woodonhand')),
                        ('state', models.CharField(choices=[('oiled', 'oiled, as you finish your boards'), ('dry', 'dry: sanded, no finish')], default='oiled', max_length=8)),
                        ('piece', models.CharField(blank=True, default='', max_length=60)),
                        ('finish', models.CharField(blank=True, default='', max_length=80)),
                        ('seen_on', models.DateField(default=django.utils.timezone.localdate)),
                        ('stands_for_wood', models.BooleanField(default=True)),
                    ],
                    options={
                        'ordering': ['-seen_on', '-pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('card', ''), ('photo__isnull', True)), models.Q(('card__gt', ''), ('photo__isnull', False)), _connector='OR'), name='a_photo_has_its_card'), models.CheckConstraint(condition=models.Q(('state__in', ['oiled', 'dry'])), name='a_sample_is_oiled_or_dry')],
                    },
                ),
                migrations.CreateModel(
                    name='Demand',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('label', models.CharField(max_length=120)),
                        ('key', models.CharField(max_length=80, unique=True)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Supplier',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('name', models.CharField(max_length=80, unique=True)),
                        ('rule', models.CharField(choices=[('exact', 'exactly as measured'), ('surface', 'by surface measure, each board to the nearest whole square foot'), ('whole', 'width to the nearest inch, length down to whole feet'), ('width up', 'width up to the next inch, length down to whole feet')], default='exact', max_length=10)),
                        ('thin_as_inch', models.BooleanField(default=False)),
                        ('tax', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('tax_included', models.BooleanField(default=True)),
                        ('note', models.CharField(blank=True, max_length=200)),
                    ],
                    options={
                        'ordering': ['name'],
                    },
                ),
                migrations.CreateModel(
                    name='Delivery',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('on', models.DateField()),
                        ('reference', models.CharField(blank=True, max_length=60)),
                        ('carriage', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('tax', shopapp.common.fields.ShareField(decimal_places=6, default=Decimal('0.000000'), max_digits=9)),
                        ('tax_included', models.BooleanField(default=True)),
                        ('rule', models.CharField(choices=[('exact', 'exactly as measured'), ('surface', 'by surface measure, each board to the nearest whole square foot'), ('whole', 'width to the nearest inch, length down to whole feet'), ('width up', 'width up to the next inch, length down to whole feet')], max_length=10)),
                        ('thin_as_inch', models.BooleanField(default=False)),
                        ('note', models.CharField(blank=True, max_length=200)),
                        ('booked_at', models.DateTimeField(auto_now_add=True)),
                        ('booked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('supplier', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='lumber.supplier')),
                    ],
                    options={
                        'ordering': ['-on', '-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Lot',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('number', models.PositiveSmallIntegerField()),
                        ('wood', models.SlugField()),
                        ('grade', models.CharField(blank=True, max_length=40)),
                        ('nominal_thickness', shopapp.common.fields.LengthField()),
                        ('thickness', shopapp.common.fields.LengthField()),
                        ('width', shopapp.common.fields.LengthField()),
                        ('length', shopapp.common.fields.LengthField()),
                        ('count', models.PositiveSmallIntegerField(default=1)),
                        ('surfaced', models.BooleanField(default=False)),
                        ('cut', models.CharField(blank=True, choices=[('', 'not noted'), ('flat', 'flat sawn'), ('rift', 'rift sawn'), ('quartered', 'quartered')], max_length=10)),
                        ('sapwood', models.BooleanField(default=False)),
                        ('shade', models.CharField(blank=True, max_length=40)),
                        ('moisture', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('moisture_on', models.DateField(null=True)),
                        ('fit_on', models.DateField(null=True)),
                        ('price', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('per', models.CharField(choices=[('bf', 'a board foot'), ('m3', 'a cubic metre'), ('sqft', 'a square foot'), ('m', 'a running metre'), ('kg', 'a kilogram'), ('piece', 'a piece')], max_length=5)),
                        ('mass_kg', models.DecimalField(decimal_places=3, max_digits=9, null=True)),
                        ('paid_bf', models.CharField(max_length=60)),
                        ('there_bf', models.CharField(max_length=60)),
                        ('goods', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('tax', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('carriage', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('delivery', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lots', to='lumber.delivery')),
                    ],
                    options={
                        'ordering': ['delivery', 'number'],
                        'constraints': [models.UniqueConstraint(fields=('delivery', 'number'), name='one_lot_of_each_number'), models.CheckConstraint(condition=models.Q(('count__gt', 0), ('length__gt', 0), ('nominal_thickness__gt', 0), ('thickness__gt', 0), ('width__gt', 0)), name='lot_has_a_size')],
                    },
                ),
                migrations.CreateModel(
                    name='StockEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('bought', 'bought'), ('split', 'split'), ('measured', 'measured again'), ('surfaced', 'surfaced'), ('moved', 'moved'), ('aside', 'set aside'), ('scrapped', 'scrapped'), ('reserved', 'reserved'), ('released', 'released'), ('taken', 'taken'), ('returned', 'returned'), ('counted', 'counted'), ('undone', 'undone')], max_length=10)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('words', models.CharField(max_length=400)),
                        ('demand', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='lumber.demand')),
                        ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='lumber.stockentry')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'stock entries',
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='StockPiece',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('mark', models.CharField(max_length=12, unique=True)),
                        ('wood', models.SlugField()),
                        ('thickness', shopapp.common.fields.LengthField()),
                        ('width', shopapp.common.fields.LengthField()),
                        ('length', shopapp.common.fields.LengthField()),
                        ('surfaced', models.BooleanField(default=False)),
                        ('place', models.CharField(blank=True, max_length=60)),
                        ('state', models.CharField(choices=[('here', 'on the rack'), ('taken', 'taken'), ('split', 'split'), ('scrapped', 'scrapped'), ('missing', 'not found'), ('undone', 'never was')], default='here', max_length=10)),
                        ('set_aside', models.CharField(blank=True, max_length=120)),
                        ('worth', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('demand', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='pieces', to='lumber.demand')),
                        ('lot', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='pieces', to='lumber.lot')),
                        ('parent', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='offcuts', to='lumber.stockpiece')),
                    ],
                    options={
                        'ordering': ['wood', '-length', 'mark'],
                        'indexes': [models.Index(fields=['state', 'place'], name='lumber_stoc_state_1a20cd_idx'), models.Index(fields=['state', 'wood', '-length', 'mark'], name='pieces_as_they_are_listed')],
                        'constraints': [models.CheckConstraint(condition=models.Q(('length__gt', 0), ('thickness__gt', 0), ('width__gt', 0)), name='piece_has_a_size'), models.CheckConstraint(condition=models.Q(('worth__gte', 0)), name='piece_worth_not_negative'), models.CheckConstraint(condition=models.Q(('state', 'here'), ('worth', 0), _connector='OR'), name='only_what_is_here_is_worth_something')],
                    },
                ),
                migrations.CreateModel(
                    name='StockMove',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('came_from', models.CharField(blank=True, max_length=100)),
                        ('went_to', models.CharField(blank=True, max_length=100)),
                        ('worth', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('before', models.JSONField(default=dict)),
                        ('after', models.JSONField(default=dict)),
                        ('entry', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='moves', to='lumber.stockentry')),
                        ('piece', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='moves', to='lumber.stockpiece')),
                    ],
                    options={
                        'ordering': ['entry', 'pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('worth__gte', 0)), name='move_worth_not_negative')],
                    },
                ),
                migrations.CreateModel(
                    name='Stocktake',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('wood', models.SlugField(blank=True)),
                        ('place', models.CharField(blank=True, max_length=60)),
                        ('closed_at', models.DateTimeField(null=True)),
                        ('begun_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('closed_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entry', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='stocktake', to='lumber.stockentry')),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Supply',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('name', models.CharField(max_length=80, unique=True)),
                        ('kind', models.CharField(choices=[('glue', 'glue'), ('abrasive', 'abrasive'), ('finish', 'oil and finish'), ('other', 'something else')], max_length=10)),
                        ('unit', models.CharField(choices=[('ml', 'ml'), ('l', 'l'), ('g', 'g'), ('kg', 'kg'), ('piece', 'pieces'), ('sheet', 'sheets'), ('m', 'm')], max_length=6)),
                        ('place', models.CharField(blank=True, max_length=60)),
                        ('low', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                        ('amount', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=12)),
                        ('worth', models.DecimalField(decimal_places=4, default=Decimal('0'), max_digits=12)),
                        ('kept', models.BooleanField(default=True)),
                    ],
                    options={
                        'verbose_name_plural': 'supplies',
                        'ordering': ['-kept', 'kind', 'name'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('amount__gte', 0), ('worth__gte', 0)), name='supply_not_negative'), models.CheckConstraint(condition=models.Q(('amount__gt', 0), ('worth', 0), _connector='OR'), name='no_worth_without_an_amount')],
                    },
                ),
                migrations.CreateModel(
                    name='SupplyEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('kind', models.CharField(choices=[('bought', 'bought'), ('used', 'used'), ('counted', 'counted'), ('undone', 'undone')], max_length=10)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('on', models.DateField()),
                        ('words', models.CharField(max_length=400)),
                        ('amount', models.DecimalField(decimal_places=3, max_digits=12)),
                        ('worth', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('amount_after', models.DecimalField(decimal_places=3, max_digits=12)),
                        ('worth_after', models.DecimalField(decimal_places=4, max_digits=12)),
                        ('demand', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='supplies', to='lumber.demand')),
                        ('supplier', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='supplies', to='lumber.supplier')),
                        ('supply', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='lumber.supply')),
                        ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='lumber.supplyentry')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'supply entries',
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='TicketPhoto',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('incoming', models.CharField(blank=True, max_length=80)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('trouble', models.TextField(blank=True)),
                        ('brought_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('delivery', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tickets', to='lumber.delivery')),
                        ('shown', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storedimage')),
                    ],
                    options={
                        'ordering': ['pk'],
                    },
                ),
                migrations.CreateModel(
                    name='StocktakeCount',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('found', models.BooleanField()),
                        ('thickness', shopapp.common.fields.LengthField(null=True)),
                        ('width', shopapp.common.fields.LengthField(null=True)),
                        ('length', shopapp.common.fields.LengthField(null=True)),
                        ('moved', models.BooleanField(default=False)),
                        ('place', models.CharField(blank=True, max_length=60)),
                        ('counted_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('piece', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='counts', to='lumber.stockpiece')),
                        ('stocktake', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='counts', to='lumber.stocktake')),
                        ('piece_version', models.PositiveIntegerField()),
                    ],
                    options={
                        'ordering': ['pk'],
                        'constraints': [models.UniqueConstraint(fields=('stocktake', 'piece'), name='a_piece_is_counted_once')],
                    },
                ),
                migrations.CreateModel(
                    name='LabelSheet',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('pieces', models.JSONField()),
                        ('paper', models.JSONField()),
                        ('first', models.PositiveSmallIntegerField()),
                        ('address', models.CharField(max_length=200)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('asked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='common.storeddocument')),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
            ],
        ),
    ]
