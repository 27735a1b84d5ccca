/* Finding rows, and the words for kinds. The rows themselves stand in attribute_*.c. */
#include "model/attribute.h"

#include "model/attribute_tables.h"

#include <string.h>

const struct kind_words kind_words[KIND__END] = {
	[KIND_DRIVER] = { "driver", "drivers", "driver_types" },
	[KIND_SWITCH] = { "switch", "switches", "switch_types" },
	[KIND_BLOCK]  = { "block", "blocks", "block_types" },
	[KIND_STRIP]  = { "strip", "strips", "strip_types" },
	[KIND_CABLE]  = { "cable", "cables", "cable_types" },
};

struct attribute_table attributes_of(enum kind kind)
{
	static const struct attribute_table *const tables[KIND__END] = {
		[KIND_DRIVER] = &attributes_driver, [KIND_SWITCH] = &attributes_switch,
		[KIND_BLOCK] = &attributes_block,   [KIND_STRIP] = &attributes_strip,
		[KIND_CABLE] = &attributes_cable,
	};
	return *tables[kind];
}

const struct attribute *attribute_find_in(struct attribute_table table, const char *key)
{
	for (size_t i = 0; i < table.count; i++)
		if (strcmp(table.rows[i].key, key) == 0)
			return &table.rows[i];
	return NULL;
}

const struct attribute *attribute_find(enum kind kind, const char *key)
{
	const struct attribute *row = attribute_find_in(attributes_of(kind), key);
	return row ? row : attribute_find_in(attributes_shared, key);
}
