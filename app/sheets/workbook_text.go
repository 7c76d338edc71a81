package sheets

import "strings"

// XML, and so a worksheet, cannot hold every character that a text may have. On
// its way into a cell a control character becomes its picture (U+2400 and the
// control's number), and a picture that was in the text gets U+2421 in front, so
// that reading gives back what was written. The two noncharacters that XML
// forbids, U+FFFE and U+FFFF, become U+2400 with E or F behind it.
const (
	picture     = 0x2400
	lastPicture = 0x241f
	literal     = '\u2421'
)

// clean returns a text as a cell holds it. A carriage return, alone or before a
// line feed, becomes a line feed, as in CSV.
func clean(text string) string {
	if strings.IndexFunc(text, unfit) < 0 {
		return text
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	var out strings.Builder
	for _, r := range text {
		switch {
		case r == '\n' || r == '\t' || !unfit(r):
			out.WriteRune(r)
		case r < ' ':
			out.WriteRune(picture + r)
		case r == 0xfffe:
			out.WriteString("\u2400E")
		case r == 0xffff:
			out.WriteString("\u2400F")
		default:
			out.WriteRune(literal)
			out.WriteRune(r)
		}
	}
	return out.String()
}

// unfit says whether clean does anything to a character.
func unfit(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' || r == 0xfffe || r == 0xffff || pictured(r)
}

// pictured says whether a character means something else in a cell.
func pictured(r rune) bool { return r >= picture && r <= lastPicture || r == literal }

// unclean gives back the text of clean.
func unclean(cell string) string {
	if strings.IndexFunc(cell, pictured) < 0 {
		return cell
	}
	var out strings.Builder
	runes := []rune(cell)
	for i := 0; i < len(runes); i++ {
		r := runes[i]
		next := rune(0)
		if i+1 < len(runes) {
			next = runes[i+1]
		}
		switch {
		case r == literal && pictured(next):
			out.WriteRune(next)
			i++
		case r == picture && next == 'E':
			out.WriteRune(0xfffe)
			i++
		case r == picture && next == 'F':
			out.WriteRune(0xffff)
			i++
		case r > picture && r <= lastPicture && r != picture+'\n' && r != picture+'\t' && r != picture+'\r':
			out.WriteRune(r - picture)
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}
