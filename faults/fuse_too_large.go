package faults

import (
	"fmt"
	"strings"

	"bellout/faults/judge"
	"bellout/model"
)

var ruleFuseTooLarge = Rule{
	Name:  "fuse-too-large",
	Title: "A fuse or breaker larger than the wire may carry",
	Why: "A fuse that outlasts its wire protects nothing: the wire burns first, often where it runs in a bundle. Any fuse on the way counts, one further up too; " +
		"where several ways lead to a wire, the worst of them counts. A breaker is compared with the breaker column of the table where it has one. " +
		"A supply whose limit_a the wire can carry protects it whatever the fuse.",
	Check: checkFuseTooLarge,
}

func checkFuseTooLarge(b *Analysis) []Finding {
	pr := findProtection(b)
	_, overfused, _ := pr.exposed()
	var findings []Finding
	for _, one := range overfused {
		findings = append(findings, pr.tooLargeFinding(one))
	}
	return findings
}

func (pr *protection) tooLargeFinding(one exposure) Finding {
	b := pr.p.b
	amps, breaker := pr.rating(one.gate)
	link := b.Machine.Links[b.AsIntended.Elements[one.gate].Row]
	d := b.draft("fuse-too-large", Fault).blame(one.gate).blame(one.wires...)
	for _, id := range one.wires {
		d.nets(b.AsIntended.Elements[id].A)
	}
	word, most := "fuse", pr.limits(pr.gauge(pr.thinnest(one.wires))).fuse
	if breaker {
		word, most = "breaker", pr.limits(pr.gauge(pr.thinnest(one.wires))).breaker
	}
	d.headed("The "+word+" %s is too large for %s", link.Device, pr.wireName(pr.thinnest(one.wires)))
	var text strings.Builder
	fmt.Fprintf(&text, "The %s %s is rated %s A, more than it may be for %s.", word, link.Place(), model.FormatNumber(amps.Value), pr.carryText(one.wires, breaker))
	advice := fmt.Sprintf("Power off: read the rating on the %s itself and the size printed on %s. Then fit a %s of at most %s A at %s, or thicker wire behind it; "+
		"if a smaller one does not hold, the branch draws too much and has to be divided.", word, pr.wireName(pr.thinnest(one.wires)), word, model.MeterFigures(most), link.Device)
	if one.source.mains {
		text.WriteString(" This is mains wiring.")
		advice = fmt.Sprintf("Plug out, and leave it out: look only. Mains wiring and its protection are for a licensed person and the local code; what to ask for: at most %s A at %s, or thicker wire.",
			model.MeterFigures(most), link.Device)
	}
	return d.say(1, text.String(), advice)
}

func (pr *protection) carryText(wires []int, breaker bool) string {
	var names []string
	for _, id := range wires {
		names = append(names, pr.carries(id, breaker))
	}
	return judge.ListText(names, 6)
}
