/* The wattages below are those commonly sold (from memory); everything else is drawn by chance within what a
 * cabinet shop would build. */
#include "oracle/degraded.h"

#include "oracle/chance.h"

const char *const damage_words[DAMAGE__END] = {
	"thin cables", "small driver", "no second feed", "long way", "trimmed down", "long strip", "no fuse",
	"thin cables and small driver",
};

#define MOST_BAYS 4
#define MOST_STRIPS 4

struct bay {
	bool switched;
	size_t strip_count, spare_ports;
	double metres[MOST_STRIPS];
	double trunk, feed;
};

/* What both texts are written from. */
struct drawing {
	double volts, watts_per_m, loop;
	double watts;                /* of the driver */
	double set_volts;            /* 0: unsaid */
	const char *size;
	struct bay bays[MOST_BAYS];
	size_t bay_count, long_bay;  /* the first strip of that bay is the long one */
	bool second_feed;
	double fuse;                 /* in the first bay's trunk, of 0.5 mm2; 0: none, negative: left out */
	/* how it is written */
	bool block_style, types, crlf;
};

static const double ladder[] = { 15, 20, 30, 40, 60, 75, 100, 120, 150, 200 };

static double at_least(double watts)
{
	size_t i = 0;
	while (i + 1 < COUNT_OF(ladder) && ladder[i] < watts)
		i++;
	return ladder[i];
}

static double load_of(const struct drawing *d)
{
	double metres = 0;
	for (size_t b = 0; b < d->bay_count; b++)
		for (size_t k = 0; k < d->bays[b].strip_count; k++)
			metres += d->bays[b].metres[k];
	return metres * d->watts_per_m;
}

static void draw_bay(struct chance *c, struct bay *bay)
{
	*bay = (struct bay){
		.switched = chance_below(c, 3) > 0, .strip_count = 1 + chance_below(c, MOST_STRIPS - 1),
		.spare_ports = 1 + chance_below(c, 2),
		.trunk = 0.1 * (double)(5 + chance_below(c, 26)), .feed = 0.1 * (double)(2 + chance_below(c, 8)),
	};
	for (size_t k = 0; k < bay->strip_count; k++)
		bay->metres[k] = 0.1 * (double)(3 + chance_below(c, 8));
}

/* About the longest run that passes from one end: the drop along a strip whose units all draw their nominal
 * current is w l^2 r / (2 V), and a little under 4 % of V of it leave room for the cable. */
static double one_end(const struct drawing *d)
{
	return d->volts * sqrt(2 * 0.037 / (d->watts_per_m * d->loop));
}

static void draw(struct chance *c, struct drawing *d, enum damage damage)
{
	static const double powers[] = { 4.8, 7.2, 9.6 };
	bool low = chance_below(c, 3) == 0;
	*d = (struct drawing){
		.volts = low ? 12 : 24, .loop = low ? 0.09 : 0.11, .watts_per_m = powers[chance_below(c, 3)],
		.size = "1.5 mm2", .bay_count = 1 + chance_below(c, MOST_BAYS),
		.block_style = chance_below(c, 2) > 0, .types = chance_below(c, 2) > 0,
		.crlf = chance_below(c, 3) == 0,
	};
	for (size_t b = 0; b < d->bay_count; b++)
		draw_bay(c, &d->bays[b]);
	d->long_bay = chance_below(c, d->bay_count);
	if (damage == NO_SECOND_FEED) {
		d->second_feed = true;
		d->bays[d->long_bay].metres[0] = 0.1 * round(10 * chance_between(c, 1.1, 1.25) * one_end(d));
	}
	if (damage == NO_FUSE)
		d->fuse = 2;
	d->watts = at_least(load_of(d) / 0.8);
}

static void spoil(struct chance *c, struct drawing *d, enum damage damage)
{
	switch (damage) {
	case THIN_AND_SMALL:
	case THIN_CABLES:
		d->size = "0.5 mm2";
		if (damage == THIN_CABLES)
			break;
		/* fall through */
	case SMALL_DRIVER:
		d->watts = at_least(0.5 * load_of(d));
		break;
	case NO_SECOND_FEED:
		d->second_feed = false;
		break;
	case LONG_WAY:
		d->bays[d->long_bay].trunk = 12 + 0.1 * (double)chance_below(c, 150);
		d->size = "0.75 mm2";
		break;
	case TRIMMED_DOWN:
		d->set_volts = d->volts * (0.95 + 0.005 * (double)chance_below(c, 2));
		d->bays[d->long_bay].trunk += 4;
		d->size = "0.5 mm2";
		break;
	case LONG_STRIP:
		d->bays[d->long_bay].metres[0] += (d->volts > 20 ? 2.5 : 1.5) + 0.1 * (double)chance_below(c, 20);
		break;
	case NO_FUSE:
		d->fuse = -1;
		break;
	case DAMAGE__END:
		break;
	}
}

/* ------- writing */

struct writer {
	const struct drawing *d;
	struct buf *out;
	size_t comments;
};

static void end_line(struct writer *w)
{
	buf_add(w->out, w->d->crlf ? "\r\n" : "\n");
}

/* A comment that stands nowhere else. */
static void comment(struct writer *w, const char *before)
{
	buf_addf(w->out, "%s# remark %zu: {it's} \"kept\", size: 9 mm2", before, ++w->comments);
	end_line(w);
}

/* One item in the style of the file; `body` is "key: value, key: value". */
static void item(struct writer *w, const char *id, const char *body)
{
	if (!w->d->block_style) {
		buf_addf(w->out, "  %s: {%s}", id, body);
		comment(w, "   ");
		return;
	}
	buf_addf(w->out, "  %s:", id);
	comment(w, " ");
	while (*body != '\0') {
		buf_add(w->out, "    ");
		while (*body != '\0' && *body != ',')
			buf_add_char(w->out, *body++);
		comment(w, "  ");
		body += *body == ',' ? 2 : 0;
	}
}

static void group(struct writer *w, const char *name)
{
	end_line(w);
	comment(w, "");
	buf_addf(w->out, "%s:", name);
	comment(w, "  ");
}

static const char *typed(const struct writer *w, const char *type, const char *said)
{
	return w->d->types ? type : said;
}

static void write_types(struct writer *w, struct arena *arena)
{
	const struct drawing *d = w->d;
	group(w, "strip_types");
	item(w, "warm", arena_printf(arena, "voltage: %g V, power: %g W/m, cut_length: 50 mm, reel: 5 m, "
	                             "loop_resistance: %g ohm/m, led_knee: %g V", d->volts, d->watts_per_m, d->loop,
	                             d->volts * 0.69));
	if (!d->types)
		return;
	group(w, "cable_types");
	item(w, "run", arena_printf(arena, "size: %s, joint: screw", d->size));
	group(w, "driver_types");
	item(w, "psu", arena_printf(arena, "voltage: %g V, power: %g W, selv: yes", d->volts, d->watts));
}

static void write_parts(struct writer *w, struct arena *arena)
{
	const struct drawing *d = w->d;
	const char *own = arena_printf(arena, "voltage: %g V, power: %g W, max_current: %.4f A, trip_current: %.4f A, "
	                               "selv: yes", d->volts, d->watts, d->watts / d->volts,
	                               1.5 * d->watts / d->volts);
	const char *set = d->set_volts > 0 ? arena_printf(arena, ", set_voltage: %g V", d->set_volts) : "";
	group(w, "drivers");
	item(w, "D1", arena_printf(arena, "%s%s, place: plinth", typed(w, "type: psu", own), set));
	group(w, "switches");
	for (size_t b = 0; b < d->bay_count; b++)
		if (d->bays[b].switched)
			item(w, arena_printf(arena, "S%zu", b + 1), "max_current: 8 A, on_resistance: 20 mohm");
	group(w, "blocks");
	for (size_t b = 0; b < d->bay_count; b++)
		item(w, arena_printf(arena, "B%zu", b + 1),
		     arena_printf(arena, "ports: %zu, max_current: 10 A",
		                  d->bays[b].strip_count + 1 + d->bays[b].spare_ports));
	group(w, "strips");
	for (size_t b = 0; b < d->bay_count; b++)
		for (size_t k = 0; k < d->bays[b].strip_count; k++)
			item(w, arena_printf(arena, "L%zu%zu", b + 1, k + 1),
			     arena_printf(arena, "type: warm, length: %.0f mm, place: bay %zu shelf %zu",
			                  1000 * d->bays[b].metres[k], b + 1, k + 1));
}

static void cable(struct writer *w, const char *id, const char *from, const char *to, double metres,
                  const char *more)
{
	struct arena *arena = w->out->arena;
	const char *own = arena_printf(arena, "size: %s, joint: screw", w->d->size);
	item(w, id, arena_printf(arena, "%s, from: %s, to: %s, length: %.0f mm%s", typed(w, "type: run", own),
	                         from, to, 1000 * metres, more));
}

static void write_cables(struct writer *w, struct arena *arena)
{
	const struct drawing *d = w->d;
	group(w, "cables");
	for (size_t b = 0; b < d->bay_count; b++) {
		const struct bay *bay = &d->bays[b];
		const char *block = arena_printf(arena, "B%zu", b + 1), *via = arena_printf(arena, "S%zu", b + 1);
		const char *trunk = arena_printf(arena, "T%zu", b + 1);
		if (b == 0 && d->fuse != 0)
			item(w, trunk, arena_printf(arena, "size: 0.5 mm2, from: D1, to: %s, length: %.0f mm%s",
			                            bay->switched ? via : block, 1000 * bay->trunk,
			                            d->fuse > 0 ? arena_printf(arena, ", fuse: %g A", d->fuse) : ""));
		else
			cable(w, trunk, "D1", bay->switched ? via : block, bay->trunk, "");
		if (bay->switched)
			cable(w, arena_printf(arena, "U%zu", b + 1), via, block, 0.3, "");
		for (size_t k = 0; k < bay->strip_count; k++) {
			const char *strip = arena_printf(arena, "L%zu%zu", b + 1, k + 1);
			cable(w, arena_printf(arena, "F%zu%zu", b + 1, k + 1), block, strip, bay->feed, "");
			if (k == 0 && b == d->long_bay && d->second_feed)
				cable(w, arena_printf(arena, "G%zu", b + 1), block, arena_printf(arena, "%s.end", strip),
				      bay->feed + bay->metres[0], ", note: second feed");
		}
	}
}

static void write_job(const struct drawing *d, struct buf *out)
{
	struct writer w = { .d = d, .out = out };
	comment(&w, "");
	buf_add(out, "job: {name: degraded, ambient: 30 C}");
	comment(&w, " ");
	write_types(&w, out->arena);
	write_parts(&w, out->arena);
	write_cables(&w, out->arena);
	comment(&w, "");
}

void degraded_job(uint64_t seed, enum damage damage, struct buf *sound, struct buf *damaged)
{
	struct chance c = { seed };
	struct drawing drawing;
	draw(&c, &drawing, damage);
	write_job(&drawing, sound);
	spoil(&c, &drawing, damage);
	write_job(&drawing, damaged);
}
