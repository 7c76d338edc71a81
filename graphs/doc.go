// Package graphs turns a machine into graphs that gonum's algorithms run on:
// the circuit in one condition, its nets, the paths upstream of a device, the
// resistance between two terminals and the voltages of the running machine.
//
// Nodes are the indices of model.Machine.Terminals, so a node's ID and a
// terminal's place are one number. Elements, the edges, keep numbers of their
// own: two wires between the same terminals are two elements.
//
// The package knows no rule and judges nothing.
package graphs
