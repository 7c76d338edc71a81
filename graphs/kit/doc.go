// Package kit holds what the house does to graphs that know nothing of
// circuits: disjoint sets, biconnected blocks and bridges, simple paths between
// two vertices, independent cycles. Vertices and edges are small numbers, and two
// edges may join the same vertices.
package kit
