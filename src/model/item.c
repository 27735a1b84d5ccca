/* Items as a whole: inheriting from types, filling defaults, finding by index. */
#include "model/job.h"

#include <math.h>

size_t kind_size(enum kind kind)
{
	static const size_t sizes[KIND__END] = {
		[KIND_DRIVER] = sizeof(struct driver), [KIND_SWITCH] = sizeof(struct switch_item),
		[KIND_BLOCK] = sizeof(struct block),   [KIND_STRIP] = sizeof(struct strip),
		[KIND_CABLE] = sizeof(struct cable),
	};
	return sizes[kind];
}

struct item *job_item(const struct job *job, enum kind kind, size_t index)
{
	switch (kind) {
	case KIND_DRIVER: return &job->drivers[index].item;
	case KIND_SWITCH: return &job->switches[index].item;
	case KIND_BLOCK:  return &job->blocks[index].item;
	case KIND_STRIP:  return &job->strips[index].item;
	case KIND_CABLE:  return &job->cables[index].item;
	case KIND__END:   break;
	}
	return NULL;
}

size_t job_count(const struct job *job, enum kind kind)
{
	switch (kind) {
	case KIND_DRIVER: return job->driver_count;
	case KIND_SWITCH: return job->switch_count;
	case KIND_BLOCK:  return job->block_count;
	case KIND_STRIP:  return job->strip_count;
	case KIND_CABLE:  return job->cable_count;
	case KIND__END:   break;
	}
	return 0;
}

static void assume_rows(struct attribute_table table, void *item)
{
	for (size_t i = 0; i < table.count; i++) {
		struct attr *value = attribute_slot(&table.rows[i], item);
		if (attr_has(value) || isnan(table.rows[i].assumed))
			continue;
		value->origin = ORIGIN_ASSUMED;
		value->dim = table.rows[i].dims[0];
		value->num = table.rows[i].assumed;
	}
}

void item_assume(enum kind kind, void *item)
{
	assume_rows(attributes_of(kind), item);
}

void job_assume(struct job *job)
{
	assume_rows(attributes_job, job);
	assume_rows(attributes_limits, job->limits);
}

static void inherit_rows(struct attribute_table table, void *item, const void *type, enum origin origin)
{
	for (size_t i = 0; i < table.count; i++) {
		struct attr *value = attribute_slot(&table.rows[i], item);
		const struct attr *from = attribute_value(&table.rows[i], type);
		if (attr_said(value) || !attr_said(from))
			continue;
		*value = *from;
		value->origin = origin;
	}
}

void item_inherit(enum kind kind, void *item, const void *type, enum origin origin)
{
	inherit_rows(attributes_of(kind), item, type, origin);
	inherit_rows(attributes_shared, item, type, origin);
}
