// Package sample makes machines for benchmarks and property tests.
//
// Machine is a large sound machine of the usual structure, the same for the
// same seed: every rule should be silent about it, and its readings are what a
// meter shows on it. Sound is a small one of the structures that a rule of thumb
// takes for faulty: no rule may. Draw is a small machine of any shape that the model
// allows, for laws that must hold whatever a file says.
//
// The package knows no graph: what a meter shows is summed up along the way a
// wire was laid.
package sample
