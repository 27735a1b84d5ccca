/* A symmetric sparse matrix of two-terminal elements, factored by KLU (SuiteSparse). The only file that
 * knows KLU is klu_matrix.c. Built once for a pattern, then filled and solved as often as needed: the
 * first solve analyses and factors, later ones refactor. */
#ifndef FAREND_SOLVE_KLU_MATRIX_H
#define FAREND_SOLVE_KLU_MATRIX_H

#include "base/arena.h"

#include <stdint.h>

#define KLU_GROUND UINT32_MAX        /* an end that is no unknown: a fixed node */

struct klu_matrix;

struct klu_pair { uint32_t a, b; };  /* unknowns that an element joins; either may be KLU_GROUND */

/* A matrix of `size` unknowns with one element per pair. */
struct klu_matrix *klu_matrix_new(struct arena *arena, size_t size, const struct klu_pair *pairs,
                                  size_t pair_count);

void klu_matrix_clear(struct klu_matrix *matrix);

/* Adds element `pair`: g between its ends, and shunts to ground at either end. All in S. */
void klu_matrix_add(struct klu_matrix *matrix, size_t pair, double g, double shunt_a, double shunt_b);

/* Solves for the right side in `x`, in place. False when the matrix is singular. */
bool klu_matrix_solve(struct klu_matrix *matrix, double *x);

/* The same for another right side, with the factors of the last klu_matrix_solve(). */
void klu_matrix_resolve(struct klu_matrix *matrix, double *x);

#endif
