package assets

import _ "embed"

// Templates are the device templates that come with Bellout; the file says in
// which form.
//
//go:embed templates/templates.txt
var Templates string
