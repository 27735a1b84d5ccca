/* A network of conductances between nodes, solved by taking node after node out of it (star to
 * mesh). Analysed once for its pattern, then solved as often as needed, for one network or for
 * lanes. Private to this layer.
 *
 * Node i with the conductances G_j to its neighbours, a shunt h to ground and a source c, D = h +
 * sum of G_j, is replaced by
 *     G_j G_k / D between neighbours,    h_j += G_j h / D,    c_j += G_j c / D
 * and has in the end x_i = (c + sum of G_j x_j) / D. This is symmetric elimination of the matrix,
 * but every term is positive: nothing cancels, whatever the spread of the conductances. Nodes with
 * fewest neighbours go first, so that trees and rings cost their length. */
#ifndef FAREND_SOLVE_MESH_H
#define FAREND_SOLVE_MESH_H

#include "base/arena.h"
#include "solve/lanes.h"
#include "solve/network.h"

#include <stdint.h>

struct mesh_edge { uint32_t a, b; };

struct mesh;

/* `held` marks nodes whose x is given. Edges may be parallel. */
struct mesh *mesh_new(struct arena *arena, size_t node_count, const bool *held,
                      const struct mesh_edge *edges, size_t edge_count);

/* The nodes of a network with its fixed ones held, which go to `held`. Edges are its branches,
 * then its chains. */
struct mesh *mesh_of_network(struct arena *arena, const struct network *net, bool **held);

/* Numbers of one solve, each for `width` lanes side by side. */
struct mesh_work {
	size_t width;                /* 1 or BATCH_LANES */
	double *g;                   /* of the edges, then working space */
	double *shunt, *source, *x;  /* of the nodes */
	double *share;               /* working space */
};

struct mesh_work mesh_work_new(const struct mesh *mesh, size_t width, struct arena *arena);

/* Solves sum of g (x_i - x_j) + shunt x_i = source. x of held nodes is read, that of the others
 * written; g, shunt and source are used up. A node without a path to a held one comes out as NAN
 * or infinite. */
void mesh_solve(const struct mesh *mesh, const struct mesh_work *work);

#endif
