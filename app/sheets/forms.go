package sheets

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"time"

	"bellout/app/page"
)

func writeCSV(out io.Writer, rows [][]string) error {
	return csv.NewWriter(out).WriteAll(rows)
}

func writeJSON(out io.Writer, value any) error {
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(value)
}

// head opens a page of text: what it is, of which machine, from when.
func head(p *page.Page, job Job, title, counts string) {
	p.Text(title + " of " + job.Title)
	p.Text("Printed " + job.Printed.Format(time.RFC3339) + ", " + counts + ".")
	p.Text("Shows the map as it stood then. It does not say that anything is safe to touch.")
	p.Gap()
}
