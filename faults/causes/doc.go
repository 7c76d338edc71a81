// Package causes ranks what several failed devices share: which one thing
// upstream, gone wrong in which way, would have killed the dead and spared the
// living.
//
// Each suspect is a place and a mechanism. Its points are ten times the
// logarithm of a likelihood ratio against "each died by itself", so that they
// add up line by line and each line can be read out: a prior, one line for
// every witness, then order in time, signatures and readings. All numbers are
// data in assets/causes; none of them is a published figure.
package causes
