/* A dozen ids are a help, a hundred are not. */
#include "report/item_list.h"

#include "report/figures.h"

#define NAMES_LISTED 12          /* ids that are named before the rest is only counted */

void items_add(struct buf *out, const struct job *job, const struct item_ref *items,
               size_t count)
{
	size_t listed = count > NAMES_LISTED + 1 ? NAMES_LISTED : count;
	for (size_t i = 0; i < listed; i++) {
		buf_add(out, i > 0 ? ", " : "");
		buf_add(out, item_id(job, items[i]));
	}
	if (listed < count)
		buf_addf(out, " and %zu more", count - listed);
}
