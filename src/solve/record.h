/* From the solver's network back to items. Private to this layer. */
#ifndef FAREND_SOLVE_RECORD_H
#define FAREND_SOLVE_RECORD_H

#include "solve/batch.h"
#include "solve/circuit_net.h"

/* A solved network: by itself, or as one lane of a batch. */
struct answer {
	const struct job *job;       /* the values it was solved with */
	const struct circuit_net *cn;
	const struct net_solution *ns;
	const struct batch *batch;   /* instead of `ns` */
	size_t lane;
};

/* A solution in which nothing is live. */
struct solution *solution_new(const struct job *job, struct arena *arena);

/* Everything about the design case of one circuit, worst figures set to the same. `keep` is where light and
 * voltage along the strips live; a batch has none. */
void record_design_case(struct solution *out, const struct topology *topology, size_t circuit,
                        const struct answer *answer, struct arena *keep);

/* What another operating case adds to the worst figures. `lit_zone` is the zone that `by_switch` lights
 * in it (NO_INDEX: none); dips are taken against the design case. */
void record_other_case(struct solution *out, const struct topology *topology, size_t circuit,
                       const struct answer *answer, size_t by_switch, size_t lit_zone);

/* With one switch there is no other to come on: what it lights has no dip. */
void record_lone_switch(struct solution *out, const struct topology *topology, size_t circuit,
                        size_t by_switch, size_t lit_zone);

#endif
