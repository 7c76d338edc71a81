// Package judge holds one reading against what the map predicts for it: does
// it agree, does it contradict, or can the meter not tell. It names no culprit;
// package explain does.
//
// A meter shows the resistance of the whole de-energised network between its
// tips, so that a coil of 5 ohm beeps and a wire behind a good ring proves
// nothing. Every reading is therefore compared with ohms, under the conditions
// that held while it was taken, and not with 'same net or not'.
package judge
