/* Compressed columns with remembered positions, and KLU behind them. */
#include "solve/klu_matrix.h"

#include <suitesparse/klu.h>

#include <string.h>

struct slots { int aa, bb, ab, ba; };    /* positions in `value`, -1 where an end is ground */

struct klu_matrix {
	struct arena *arena;
	int size;
	int *column;                 /* size + 1 */
	int *row;                    /* size column[size] */
	double *value;
	struct klu_pair *pairs;
	struct slots *slots;         /* size pair_count */
	klu_common common;
	klu_symbolic *symbolic;
	klu_numeric *numeric;
};

static void release(void *thing)
{
	struct klu_matrix *m = thing;
	klu_free_numeric(&m->numeric, &m->common);
	klu_free_symbolic(&m->symbolic, &m->common);
}

/* For each unknown the unknowns that it shares an element with, itself first, each once. */
static void build_pattern(struct klu_matrix *m, size_t pair_count)
{
	size_t n = (size_t)m->size;
	size_t *first = arena_array(m->arena, size_t, n + 2);
	for (size_t p = 0; p < pair_count; p++)
		if (m->pairs[p].a != KLU_GROUND && m->pairs[p].b != KLU_GROUND) {
			first[m->pairs[p].a + 2]++;
			first[m->pairs[p].b + 2]++;
		}
	for (size_t i = 2; i < n + 2; i++)
		first[i] += first[i - 1];
	uint32_t *other = arena_array(m->arena, uint32_t, first[n + 1]);
	for (size_t p = 0; p < pair_count; p++)
		if (m->pairs[p].a != KLU_GROUND && m->pairs[p].b != KLU_GROUND) {
			other[first[m->pairs[p].a + 1]++] = m->pairs[p].b;
			other[first[m->pairs[p].b + 1]++] = m->pairs[p].a;
		}

	m->column = arena_array(m->arena, int, n + 1);
	m->row = arena_array(m->arena, int, n + first[n]);
	size_t *seen_in = arena_array(m->arena, size_t, n);
	int used = 0;
	for (size_t c = 0; c < n; c++) {
		m->column[c] = used;
		m->row[used++] = (int)c;
		seen_in[c] = c + 1;
		for (size_t k = first[c]; k < first[c + 1]; k++)
			if (seen_in[other[k]] != c + 1) {
				seen_in[other[k]] = c + 1;
				m->row[used++] = (int)other[k];
			}
	}
	m->column[n] = used;
	m->value = arena_array(m->arena, double, (size_t)used);
}

static int find_slot(const struct klu_matrix *m, uint32_t row, uint32_t column)
{
	if (row == KLU_GROUND || column == KLU_GROUND)
		return -1;
	int at = m->column[column];
	while (m->row[at] != (int)row)
		at++;
	return at;
}

struct klu_matrix *klu_matrix_new(struct arena *arena, size_t size, const struct klu_pair *pairs,
                                  size_t pair_count)
{
	struct klu_matrix *m = arena_one(arena, struct klu_matrix);
	m->arena = arena;
	m->size = (int)size;
	m->pairs = arena_array(arena, struct klu_pair, pair_count);
	if (pair_count > 0)
		memcpy(m->pairs, pairs, pair_count * sizeof(*pairs));
	build_pattern(m, pair_count);

	m->slots = arena_array(arena, struct slots, pair_count);
	for (size_t p = 0; p < pair_count; p++) {
		uint32_t a = pairs[p].a, b = pairs[p].b;
		m->slots[p] = (struct slots){ find_slot(m, a, a), find_slot(m, b, b), find_slot(m, a, b),
		                              find_slot(m, b, a) };
	}
	klu_defaults(&m->common);
	m->common.btf = 0;           /* symmetric: one block per connected part, nothing to permute */
	m->common.scale = 0;
	arena_defer(arena, release, m);
	return m;
}

void klu_matrix_clear(struct klu_matrix *m)
{
	memset(m->value, 0, (size_t)m->column[m->size] * sizeof(double));
}

void klu_matrix_add(struct klu_matrix *m, size_t pair, double g, double shunt_a, double shunt_b)
{
	struct slots at = m->slots[pair];
	if (at.aa >= 0)
		m->value[at.aa] += g + shunt_a;
	if (at.bb >= 0)
		m->value[at.bb] += g + shunt_b;
	if (at.ab >= 0) {
		m->value[at.ab] -= g;
		m->value[at.ba] -= g;
	}
}

static void need_memory(const struct klu_matrix *m)
{
	if (m->common.status == KLU_OUT_OF_MEMORY || m->common.status == KLU_TOO_LARGE)
		arena_exhausted(m->arena);
}

bool klu_matrix_solve(struct klu_matrix *m, double *x)
{
	if (m->size == 0)
		return true;
	if (!m->symbolic) {
		m->symbolic = klu_analyze(m->size, m->column, m->row, &m->common);
		need_memory(m);
	}
	if (!m->numeric) {
		m->numeric = klu_factor(m->column, m->row, m->value, m->symbolic, &m->common);
		need_memory(m);
	} else if (!klu_refactor(m->column, m->row, m->value, m->symbolic, m->numeric, &m->common)) {
		need_memory(m);
		return false;
	}
	if (!m->numeric || m->common.status != KLU_OK)
		return false;
	klu_matrix_resolve(m, x);
	return true;
}

void klu_matrix_resolve(struct klu_matrix *m, double *x)
{
	if (m->size > 0)
		klu_solve(m->symbolic, m->numeric, m->size, 1, x, &m->common);
}
