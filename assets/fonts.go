package assets

import _ "embed"

// The typefaces of the window and of the sheets: Atkinson Hyperlegible Next and
// Mono, under the SIL Open Font License (fonts/OFL.txt). They were drawn so that
// 0 and O, 1, I and l, 8 and B are told apart, which is what a terminal's mark
// asks of type. They lack arrows, Greek and the micro sign U+00B5; whoever draws
// with them falls back on golang.org/x/image/font/gofont for those.
var (
	//go:embed fonts/text-regular.ttf
	FontRegular []byte
	//go:embed fonts/text-bold.ttf
	FontBold []byte
	//go:embed fonts/mono-regular.ttf
	FontMono []byte
	//go:embed fonts/mono-bold.ttf
	FontMonoBold []byte
)
