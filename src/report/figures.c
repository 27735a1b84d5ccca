/* Arithmetic between the solution and the pages: differences, shares, what is spare. */
#include "report/figures.h"

#include "reference/reference.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define FEEDING_A 1e-9           /* a terminal with more net inflow than this feeds its strip */

#define RESULT(type, member) .result = offsetof(struct type, member)
#define DERIVED(type, member) .derived = offsetof(struct type, member)
#define QUANTITY(type, member) .quantity = offsetof(struct type, member)
#define WORDS(type, member) .words = offsetof(struct type, member)
#define COUNT_OF(rows) (sizeof(rows) / sizeof((rows)[0]))

static size_t cables_at(const struct check_result *r, size_t terminal)
{
	return r->solution->first_at[terminal + 1] - r->solution->first_at[terminal];
}

/* Watts that may be added with the headroom that the job asks for still kept, in watts and
 * amperes. */
static double driver_spare(const struct check_result *r, size_t i)
{
	const struct driver *d = &r->job->drivers[i];
	const struct driver_result *s = &r->solution->drivers[i];
	double share = d->derate * (1 - job_limit(r->job, LIMIT_HEADROOM));
	double by_watts = share * d->power.num - fmax(s->load_w, s->worst_w);
	double by_amps = (share * d->rated_a - fmax(s->output_a, s->worst_a)) * d->set_v;
	return s->live ? fmax(0, fmin(by_watts, by_amps)) : NAN;
}

static double driver_derated(const struct check_result *r, size_t i)
{
	return r->job->drivers[i].power.num * r->job->drivers[i].derate;
}

static double driver_headroom(const struct check_result *r, size_t i)
{
	const struct driver_result *s = &r->solution->drivers[i];
	double derated = driver_derated(r, i);
	return s->live && derated > 0 ? 1 - s->load_w / derated : NAN;
}

static const struct figure driver_figures[] = {
	{ "set_v", DERIVED(driver, set_v) },
	{ "output_v", RESULT(driver_result, output_v) },
	{ "output_a", RESULT(driver_result, output_a) },
	{ "output_w", RESULT(driver_result, output_w) },
	{ "nameplate_w", RESULT(driver_result, nameplate_w) },
	{ "load_w", RESULT(driver_result, load_w) },
	{ "rated_w", QUANTITY(driver, power) },
	{ "derated_w", .number = driver_derated },
	{ "headroom", .number = driver_headroom },
	{ "spare_w", .number = driver_spare },
	{ "place", WORDS(item, place) },
};

static double strip_units(const struct check_result *r, size_t i)
{
	return (double)r->job->strips[i].units;
}

static double strip_nameplate(const struct check_result *r, size_t i)
{
	return r->job->strips[i].power_w_per_m * r->job->strips[i].metres;
}

static double strip_drop_v(const struct check_result *r, size_t i)
{
	const struct strip_result *s = &r->solution->strips[i];
	return s->live ? s->drop * r->job->strips[i].voltage.num : NAN;
}

/* A strip that no driver reaches is dark, and so is one that is switched off, which is a figure; between
 * two drivers it is unknown. */
static double strip_light(const struct check_result *r, size_t i, double live)
{
	const struct solution *s = r->solution;
	if (s->strips[i].live)
		return live;
	size_t circuit = s->circuit_of_terminal[r->job->strips[i].terminal];
	bool unknown = circuit < s->circuit_count && s->circuits[circuit].driver_count > 0 &&
	               !s->circuits[circuit].solved;
	return unknown ? NAN : 0;
}

static double strip_light_min(const struct check_result *r, size_t i)
{
	return strip_light(r, i, r->solution->strips[i].light_min);
}

static double strip_light_max(const struct check_result *r, size_t i)
{
	return strip_light(r, i, r->solution->strips[i].light_max);
}

static double strip_light_mean(const struct check_result *r, size_t i)
{
	return strip_light(r, i, r->solution->strips[i].light_mean);
}

static double strip_evenness(const struct check_result *r, size_t i)
{
	const struct strip_result *s = &r->solution->strips[i];
	return s->live && s->light_max > 0 ? s->light_min / s->light_max : NAN;
}

static double strip_dip(const struct check_result *r, size_t i)
{
	const struct strip_result *s = &r->solution->strips[i];
	return s->live && s->has_dip ? s->dip : NAN;
}

/* In order along the strip: the start, the taps, the end. */
static size_t strip_terminal(const struct strip *strip, size_t nth)
{
	if (nth == 0)
		return strip->terminal;
	return nth <= strip->tap_count ? strip->taps[nth - 1] : strip->terminal + 1;
}

static const char *strip_feed(const struct check_result *r, size_t i, size_t nth)
{
	const struct strip *strip = &r->job->strips[i];
	for (size_t at = 0; r->solution->strips[i].live && at < strip->tap_count + 2; at++) {
		size_t terminal = strip_terminal(strip, at);
		if (r->solution->terminals[terminal].inflow_a > FEEDING_A && nth-- == 0)
			return r->job->terminals[terminal].name;
	}
	return NULL;
}

static const struct figure strip_figures[] = {
	{ "length_m", DERIVED(strip, metres) },
	{ "cut_units", .number = strip_units },
	{ "nameplate_w", .number = strip_nameplate },
	{ "current_a", RESULT(strip_result, current_a) },
	{ "power_w", RESULT(strip_result, power_w) },
	{ "v_min", RESULT(strip_result, v_min) },
	{ "v_max", RESULT(strip_result, v_max) },
	{ "drop_v", .number = strip_drop_v },
	{ "drop", RESULT(strip_result, drop) },
	{ "light_min", .number = strip_light_min },
	{ "light_max", .number = strip_light_max },
	{ "light_mean", .number = strip_light_mean },
	{ "evenness", .number = strip_evenness },
	{ "dip", .number = strip_dip },
	{ "feeds", .list = strip_feed },
	{ "place", WORDS(item, place) },
};

static const char *cable_from(const struct check_result *r, size_t i)
{
	return r->job->terminals[r->job->cables[i].a].name;
}

static const char *cable_to(const struct check_result *r, size_t i)
{
	return r->job->terminals[r->job->cables[i].b].name;
}

static const char *cable_size(const struct check_result *r, size_t i)
{
	return wire_sizes[(size_t)r->job->cables[i].size.num].name;
}

static double cable_drop(const struct check_result *r, size_t i)
{
	const struct cable_result *s = &r->solution->cables[i];
	return s->live ? s->v_from - s->v_to : NAN;
}

/* With every switch on, whatever state the other figures are of. */
static double cable_fault(const struct check_result *r, size_t i)
{
	return r->solution->cables[i].fault_a;
}

static const struct figure cable_figures[] = {
	{ "from", .text = cable_from },
	{ "to", .text = cable_to },
	{ "length_m", QUANTITY(cable, length) },
	{ "resistance_ohm", DERIVED(cable, ohm) },
	{ "current_a", RESULT(cable_result, amps) },
	{ "drop_v", .number = cable_drop },
	{ "loss_w", RESULT(cable_result, loss_w) },
	{ "v_from", RESULT(cable_result, v_from) },
	{ "v_to", RESULT(cable_result, v_to) },
	{ "rating_a", DERIVED(cable, iz) },
	{ "fault_a", .number = cable_fault },
	{ "size", .text = cable_size },
	{ "place", WORDS(item, place) },
};

/* Stated in amperes, or in watts at the voltage of the driver that it hangs on. */
static double switch_limit(const struct check_result *r, size_t i)
{
	const struct switch_item *s = &r->job->switches[i];
	if (attr_has(&s->max_current))
		return s->max_current.num;
	size_t circuit = r->solution->circuit_of_terminal[s->terminal];
	if (circuit >= r->solution->circuit_count ||
	    r->solution->circuits[circuit].driver >= r->job->driver_count) {
		return NAN;
	}
	return s->max_power.num / r->job->drivers[r->solution->circuits[circuit].driver].voltage.num;
}

static double switch_spare(const struct check_result *r, size_t i)
{
	const struct switch_result *s = &r->solution->switches[i];
	return s->live ? fmax(0, switch_limit(r, i) - s->worst_a) : NAN;
}

static const struct figure switch_figures[] = {
	{ "current_a", RESULT(switch_result, amps) },
	{ "drop_v", RESULT(switch_result, drop_v) },
	{ "max_a", .number = switch_limit },
	{ "spare_a", .number = switch_spare },
	{ "place", WORDS(item, place) },
};

static double block_ports_used(const struct check_result *r, size_t i)
{
	return (double)cables_at(r, r->job->blocks[i].terminal);
}

static double block_ports_free(const struct check_result *r, size_t i)
{
	return fmax(0, r->job->blocks[i].ports.num - block_ports_used(r, i));
}

static double block_spare(const struct check_result *r, size_t i)
{
	const struct block_result *s = &r->solution->blocks[i];
	return s->live ? fmax(0, r->job->blocks[i].max_current.num - s->worst_a) : NAN;
}

static const struct figure block_figures[] = {
	{ "current_a", RESULT(block_result, amps) },
	{ "ports_used", .number = block_ports_used },
	{ "v", RESULT(block_result, volts) },
	{ "ports", QUANTITY(block, ports) },
	{ "ports_free", .number = block_ports_free },
	{ "max_a", QUANTITY(block, max_current) },
	{ "spare_a", .number = block_spare },
	{ "place", WORDS(item, place) },
};

const enum kind figure_order[KIND__END] = {
	KIND_DRIVER, KIND_STRIP, KIND_CABLE, KIND_SWITCH, KIND_BLOCK,
};

struct figure_table figures_of(enum kind kind)
{
	static const struct figure_table tables[KIND__END] = {
		[KIND_DRIVER] = { driver_figures, COUNT_OF(driver_figures) },
		[KIND_SWITCH] = { switch_figures, COUNT_OF(switch_figures) },
		[KIND_BLOCK] = { block_figures, COUNT_OF(block_figures) },
		[KIND_STRIP] = { strip_figures, COUNT_OF(strip_figures) },
		[KIND_CABLE] = { cable_figures, COUNT_OF(cable_figures) },
	};
	return tables[kind];
}

const struct figure *figure_find(enum kind kind, const char *key)
{
	const struct figure *row = figures_of(kind).rows;
	while (strcmp(row->key, key) != 0)
		row++;
	return row;
}

static const void *result_of(const struct solution *s, struct item_ref item)
{
	switch (item.kind) {
	case KIND_DRIVER: return &s->drivers[item.index];
	case KIND_SWITCH: return &s->switches[item.index];
	case KIND_BLOCK:  return &s->blocks[item.index];
	case KIND_STRIP:  return &s->strips[item.index];
	default:          return &s->cables[item.index];
	}
}

static double double_at(const void *base, size_t offset)
{
	double value;
	memcpy(&value, (const char *)base + offset, sizeof(value));
	return value;
}

static const struct attr *attr_at(const struct check_result *result, struct item_ref item,
                                  size_t offset)
{
	const char *base = (const char *)job_item(result->job, item.kind, item.index);
	return (const struct attr *)(const void *)(base + offset);
}

double figure_number(const struct figure *figure, const struct check_result *result,
                     struct item_ref item)
{
	if (figure->number != NULL)
		return figure->number(result, item.index);
	if (figure->derived != 0)
		return double_at(job_item(result->job, item.kind, item.index), figure->derived);
	if (figure->quantity != 0) {
		const struct attr *attr = attr_at(result, item, figure->quantity);
		return attr_has(attr) ? attr->num : NAN;
	}
	const bool *live = result_of(result->solution, item);     /* the first member of every result */
	return *live ? double_at(live, figure->result) : NAN;
}

const char *figure_text(const struct figure *figure, const struct check_result *result,
                        struct item_ref item)
{
	if (figure->text != NULL)
		return figure->text(result, item.index);
	const struct attr *attr = attr_at(result, item, figure->words);
	return attr_has(attr) ? attr->text : NULL;
}

const char *item_id(const struct job *job, struct item_ref item)
{
	return job_item(job, item.kind, item.index)->id;
}
