// Package graphs turns a machine into graphs that gonum's algorithms run on:
// the circuit in one condition, its nets, the paths upstream of a device, the
// resistance between two terminals and the voltages of the running machine.
//
// Nodes are the indices of model.Machine.Terminals, so a node's ID and a
// terminal's place are one number. Elements, the edges, keep numbers of their
// own: two wires between the same terminals are two elements.
//
// Nets are gonum's topo.ConnectedComponents. What is ours, and why gonum's does not
// serve (BenchmarkAgainstGonum unless another is named; both ways in one loop):
//
//   - blocks, bridges and what every way must pass: gonum has no biconnected
//     components; flow.Dominators answers for one root at a time (the tests hold the
//     two against each other);
//   - simple ways: path.YenKShortestPaths takes parallel wires for one, and 11 s
//     for 1,000 ways across a grid of 81 terminals, where kit takes 6 ms;
//   - loops: topo.UndirectedCyclesIn gives a basis, not the shortest one, and takes
//     parallel wires for one (the tests hold ours against every loop there is);
//   - resistance: an elimination of our own keeps the digits of a milliohm beside a
//     megohm (BenchmarkOhmsAgainstDense).
//
// The package knows no rule and judges nothing.
package graphs
