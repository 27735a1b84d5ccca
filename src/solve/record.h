/* From the solver's network back to items. Private to this layer. */
#ifndef FAREND_SOLVE_RECORD_H
#define FAREND_SOLVE_RECORD_H

#include "solve/circuit_net.h"

/* Everything about the design case of one circuit, worst figures set to the same. `keep` is where the
 * light along the strips lives. */
void record_design_case(struct solution *out, const struct topology *topology, size_t circuit,
                        const struct circuit_net *cn, const struct net_solution *ns, struct arena *keep);

/* What another operating case adds to the worst figures. `lit_zone` is the zone that `by_switch` lights
 * in it (NO_INDEX: none); dips are taken against the design case. */
void record_other_case(struct solution *out, const struct topology *topology, size_t circuit,
                       const struct circuit_net *cn, const struct net_solution *ns, size_t by_switch,
                       size_t lit_zone);

#endif
