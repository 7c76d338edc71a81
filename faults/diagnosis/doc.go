// Package diagnosis weighs what may be wrong with the running machine: one list
// of hypotheses, one likelihood for each kind of evidence, one posterior.
//
// Evidence is volts of the running machine, what devices do (symptoms), and
// readings of the dead machine, as far as they tell one hypothesis from
// another. Each piece says how likely it is under a set of hypotheses; none is
// counted twice.
package diagnosis
