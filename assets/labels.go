package assets

import _ "embed"

// Labels is the table of label sheets: how labels lie on paper, in millimetres.
// All of it is our own division; who has bought sheets adds a row for them.
//
//go:embed labels.csv
var Labels string
