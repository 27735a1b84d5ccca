/* Which things are joined: every one points towards the root of its part, itself at first. Path halving;
 * the smaller index stays the root, so that numbering is the same on every machine. */
#ifndef FAREND_BASE_UNION_FIND_H
#define FAREND_BASE_UNION_FIND_H

#include <stddef.h>

static inline size_t union_root(size_t *parent, size_t i)
{
	while (parent[i] != i)
		i = parent[i] = parent[parent[i]];
	return i;
}

static inline void union_join(size_t *parent, size_t a, size_t b)
{
	a = union_root(parent, a);
	b = union_root(parent, b);
	if (a < b)
		parent[b] = a;
	else
		parent[a] = b;
}

static inline void union_reset(size_t *parent, size_t count)
{
	for (size_t i = 0; i < count; i++)
		parent[i] = i;
}

#endif
