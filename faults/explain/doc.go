// Package explain finds the faults that make surprising readings expected.
//
// A hypothesis is one fault at one place: a wire that does not conduct, a bad
// joint, two nets that touch, two conductors changed over. Its chance before
// anything was measured comes from an editable table; each reading then weighs
// it by how likely the meter would have shown this if it held. Readings that
// could share a cause are weighed together, the agreeing ones too: they acquit.
// Faults in parts of the machine that share no reading multiply, so they are
// never weighed jointly; where no single fault explains the readings of one
// part, sets of two and more are tried, the likeliest first.
package explain
