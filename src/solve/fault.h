/* What a short circuit could draw, and what guards against it: the network with its LEDs removed and
 * every switch on. Private to this layer. */
#ifndef FAREND_SOLVE_FAULT_H
#define FAREND_SOLVE_FAULT_H

#include "solve/topology.h"

/* Fills fault_a, from_nearer, in_loop of the cables of a circuit with one driver, and upstream[]:
 *   fault_a = set voltage / (output resistance + R(farther end)),
 * R being the resistance between the driver's terminal and a terminal. `scratch` is reset. */
void fault_solve(const struct topology *topology, size_t circuit, struct cable_result *cables,
                 size_t *upstream, uint32_t *node_of, struct arena *scratch);

#endif
